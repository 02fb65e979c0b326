//! A program that runs beside a test and ends with it. Main type: [`Child`].

use std::io::{BufRead, BufReader, Read};
use std::os::unix::process::CommandExt;
use std::process::{Command, Stdio};
use std::sync::mpsc::{self, Receiver, Sender};
use std::time::Duration;

/// How long a program may take until it says that it is ready.
const READY: Duration = Duration::from_secs(90);

/// A running program in a process group of its own; what it prints is read all the time, so that it never waits.
#[derive(Debug)]
pub struct Child {
    process: std::process::Child,
    lines: Receiver<String>,
    name: String,
}

impl Child {
    /// Starts a program.
    ///
    /// # Panics
    /// Where it cannot be started.
    #[must_use]
    pub fn start(command: &mut Command) -> Self {
        let name = command.get_program().to_string_lossy().into_owned();
        let piped =
            command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).process_group(0);
        let started = piped.spawn();
        let mut process =
            started.unwrap_or_else(|error| panic!("{name} does not start ({error}): run scripts/prepare"));
        let (sender, lines) = mpsc::channel();
        drain(process.stdout.take(), sender.clone());
        drain(process.stderr.take(), sender);
        Self { process, lines, name }
    }

    /// The first thing that the program prints and `read` understands.
    ///
    /// # Panics
    /// Where the program ends or the time is up before that; says what it printed.
    #[must_use]
    pub fn says<T>(&self, read: impl Fn(&str) -> Option<T>) -> T {
        let mut said = Vec::new();
        loop {
            let Ok(line) = self.lines.recv_timeout(READY) else {
                panic!("{} is not ready; it printed:\n{}", self.name, said.join("\n"));
            };
            if let Some(found) = read(&line) {
                return found;
            }
            said.push(line);
        }
    }
}

/// Hands on line by line; where nobody listens any more, it goes on reading.
fn drain(pipe: Option<impl Read + Send + 'static>, sender: Sender<String>) {
    let Some(pipe) = pipe else { return };
    std::thread::spawn(move || {
        for line in BufReader::new(pipe).lines().map_while(Result::ok) {
            let _ = sender.send(line);
        }
    });
}

impl Drop for Child {
    fn drop(&mut self) {
        // The whole group: a browser is more than one process.
        let group = format!("kill -s KILL -- -{}", self.process.id());
        let _ = Command::new("sh").args(["-c", &group]).stderr(Stdio::null()).status();
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
