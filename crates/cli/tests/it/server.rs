//! The server as a process of its own, and how a browser speaks to it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};

pub(crate) fn hingeline() -> Command {
    Command::new(env!("CARGO_BIN_EXE_hingeline"))
}

/// Begins a server and does not wait until it listens.
pub(crate) fn spawn(folder: &Path, more: &[&str]) -> Child {
    let mut call = hingeline();
    call.args(["serve", "--listen", "127.0.0.1:0", "--folder"]).arg(folder).args(more);
    call.stdout(Stdio::piped()).spawn().expect("it starts")
}

/// Ends a process at once, whatever it is doing (SIGKILL).
pub(crate) fn kill(child: &mut Child) {
    child.kill().expect("killed");
    child.wait().expect("ended");
}

/// A server that ends with the test.
pub(crate) struct Server {
    child: Child,
    pub(crate) address: String,
    pub(crate) greeting: String,
}

impl Server {
    pub(crate) fn start(folder: &Path, more: &[&str]) -> Self {
        let mut child = spawn(folder, more);
        let mut lines = BufReader::new(child.stdout.take().expect("its words")).lines();
        let mut greeting = String::new();
        let address = loop {
            let line = lines.next().expect("it says where it listens").expect("text");
            greeting.push_str(&line);
            if let Some((_, address)) = line.split_once("listening on ") {
                break address.split_once("://").expect("an address").1.to_owned();
            }
        };
        Self { child, address, greeting }
    }
    pub(crate) fn get(&self, path: &str) -> String {
        let answer = ask(&self.address, "GET", path, "", &[]).expect("an answer");
        answer.head + &answer.text
    }
    /// Asks it to stop; gives its status.
    pub(crate) fn stop(mut self) -> Option<i32> {
        let id = self.child.id().to_string();
        Command::new("kill").args(["-TERM", &id]).status().expect("asked");
        self.child.wait().expect("it ends").code()
    }
    /// Ends it at once, whatever it is doing.
    pub(crate) fn kill(mut self) {
        kill(&mut self.child);
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // Where a test failed in between.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A whole answer.
#[derive(Debug)]
pub(crate) struct Answer {
    /// Its first line and its headers.
    pub(crate) head: String,
    pub(crate) text: String,
}

/// No whole answer came.
#[derive(Debug)]
pub(crate) struct Gone {
    /// Whether the server was still there to take the request.
    pub(crate) sent: bool,
}

impl Answer {
    pub(crate) fn status(&self) -> u16 {
        let word = self.head.split(' ').nth(1);
        word.and_then(|word| word.parse().ok()).expect("a status")
    }
    /// What a header says; empty where it is missing.
    pub(crate) fn header(&self, name: &str) -> &str {
        let pairs = self.head.lines().filter_map(|line| line.split_once(": "));
        pairs.into_iter().find(|(key, _)| key.eq_ignore_ascii_case(name)).map_or("", |(_, value)| value)
    }
    fn read(bytes: &[u8]) -> Option<Self> {
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n")? + 4;
        let (head, body) = bytes.split_at(end);
        let head = String::from_utf8_lossy(head).into_owned();
        let answer = Self { head, text: String::from_utf8_lossy(body).into_owned() };
        let length: usize = answer.header("content-length").parse().ok()?;
        (body.len() == length).then_some(answer)
    }
}

/// Sends a request on a connection of its own. `headers` are whole lines.
pub(crate) fn ask(
    address: &str,
    method: &str,
    path: &str,
    headers: &str,
    body: &[u8],
) -> Result<Answer, Gone> {
    let unsent = |_| Gone { sent: false };
    let mut socket = TcpStream::connect(address).map_err(unsent)?;
    let length = body.len();
    let head = format!(
        "{method} {path} HTTP/1.1\r\nhost: {address}\r\norigin: http://{address}\r\nconnection: close\r\n{headers}content-length: {length}\r\n\r\n"
    );
    let sent = socket.write_all(head.as_bytes()).and_then(|()| socket.write_all(body));
    sent.map_err(|_| Gone { sent: true })?;
    let mut bytes = Vec::new();
    // A connection that breaks may have carried a whole answer before.
    let _ = socket.read_to_end(&mut bytes);
    Answer::read(&bytes).ok_or(Gone { sent: true })
}
