//! `hingeline serve`: the pages of a shop, until Ctrl-C.

use crate::{clock, print};
use clap::Args;
use hingeline_web::{App, Config, Pem, demo, generated, serve};
use std::net::{SocketAddr, TcpListener};
use std::path::PathBuf;

#[derive(Args)]
pub(crate) struct Call {
    /// The folder of the shop; made where it is not there [default: shop, with --demo: demo-shop]
    #[arg(long, value_name = "DIR")]
    folder: Option<PathBuf>,
    /// Address and port to listen on; 0.0.0.0 lets the tablets of the shop's own network in
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1:8080")]
    listen: SocketAddr,
    /// A name by which browsers ask for this machine; may be given several times
    #[arg(long = "name", value_name = "HOST")]
    names: Vec<String>,
    /// Encrypt with this certificate (PEM)
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    tls_cert: Option<PathBuf>,
    /// The key of that certificate (PEM)
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    tls_key: Option<PathBuf>,
    /// Encrypt with a certificate of the shop's own, made in its folder
    #[arg(long, conflicts_with = "tls_cert")]
    tls_generate: bool,
    /// Serve a shop with invented people, surfaces and jobs, to look round in
    #[arg(long)]
    demo: bool,
}

pub(crate) fn run(call: &Call) -> Result<u8, String> {
    let folder = call.folder.clone();
    let folder = folder.unwrap_or_else(|| if call.demo { "demo-shop".into() } else { "shop".into() });
    let clock = clock::system();
    let tls = tls(call, &folder, &clock)?;
    let config = Config {
        folder: folder.clone(),
        names: call.names.clone(),
        secure: tls.is_some(),
        demo: call.demo,
        clock,
    };
    let app = App::open(config).map_err(|error| crate::record::told(&error, error.hint()))?;
    if call.demo {
        demo::fill(&app).map_err(|error| crate::record::told(&error, None))?;
    }
    let listener = TcpListener::bind(call.listen).map_err(|error| {
        format!("error: cannot listen on {}: {error}\nhint: another program may use that port; name another with --listen\n", call.listen)
    })?;
    print(&greeting(&app, &listener, tls.is_some())?)?;
    run_until_stopped(app, listener, tls)
}

fn run_until_stopped(app: App, listener: TcpListener, tls: Option<Pem>) -> Result<u8, String> {
    let failed = |error: std::io::Error| format!("error: cannot serve: {error}\n");
    let runtime = tokio::runtime::Runtime::new().map_err(failed)?;
    runtime.block_on(serve(app, listener, tls, stopped())).map_err(failed)?;
    Ok(0)
}

/// Waits for Ctrl-C, or for the system to say that it is time.
async fn stopped() {
    let interrupt = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let terminate = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => {
                signal.recv().await;
            }
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let terminate = std::future::pending::<()>();
    tokio::select! {
        () = interrupt => {}
        () = terminate => {}
    }
}

fn tls(call: &Call, folder: &std::path::Path, clock: &hingeline_web::Clock) -> Result<Option<Pem>, String> {
    if let (Some(certificate), Some(key)) = (&call.tls_cert, &call.tls_key) {
        let read = |path: &PathBuf| {
            std::fs::read_to_string(path)
                .map_err(|error| format!("error: cannot read {}: {error}\n", path.display()))
        };
        return Ok(Some(Pem { certificate: read(certificate)?, key: read(key)? }));
    }
    if !call.tls_generate {
        return Ok(None);
    }
    let mut names = call.names.clone();
    names.extend(["localhost", "127.0.0.1", "::1"].map(str::to_owned));
    if !call.listen.ip().is_unspecified() && !call.listen.ip().is_loopback() {
        names.push(call.listen.ip().to_string());
    }
    let today = clock.day(clock.now());
    let pem = generated(folder, &names, today).map_err(|error| crate::record::told(&error, None))?;
    Ok(Some(pem))
}

fn greeting(app: &App, listener: &TcpListener, secure: bool) -> Result<String, String> {
    let address = listener.local_addr().map_err(|error| format!("error: {error}\n"))?;
    let scheme = if secure { "https" } else { "http" };
    let mut text =
        format!("the shop in {}\nlistening on {scheme}://{address}\n", app.config().folder.display());
    for name in &app.config().names {
        text.push_str(&format!("          and {scheme}://{name}:{}\n", address.port()));
    }
    if !secure && !address.ip().is_loopback() {
        text.push_str("note: passwords cross the network unencrypted; add --tls-generate\n");
    }
    if let Some(code) = app.set_up_code().filter(|_| !app.config().demo) {
        text.push_str(&format!(
            "this shop has no people yet: open {scheme}://localhost:{}/set-up on this machine, code {code}\n",
            address.port()
        ));
    }
    Ok(text)
}
