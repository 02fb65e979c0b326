//! Listening: plain or encrypted, until it is told to stop. Main function: [`serve`].

use crate::app::{App, app};
use axum_server::tls_rustls::RustlsConfig;
use axum_server::{Handle, Server};
use std::future::Future;
use std::io;
use std::net::{SocketAddr, TcpListener};
use std::time::Duration;

/// How long a client may take over the head of its question.
const SLOWEST: Duration = Duration::from_secs(20);
/// How long answers that are under way may take after the program was told to stop.
const GRACE: Duration = Duration::from_secs(5);

/// A certificate and its key, both as PEM.
#[derive(Clone)]
pub struct Pem {
    /// The certificate, with those that vouch for it.
    pub certificate: String,
    /// The key.
    pub key: String,
}

impl std::fmt::Debug for Pem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Pem").field("certificate", &self.certificate).finish_non_exhaustive()
    }
}

/// Serves the pages of a shop until `stop`, then lets what is under way finish.
///
/// # Errors
/// - the certificate or its key cannot be read, or the socket fails
pub async fn serve(
    state: App,
    listener: TcpListener,
    tls: Option<Pem>,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    let handle = Handle::new();
    tokio::spawn(shutdown(state.clone(), handle.clone(), stop));
    let service = app(state).into_make_service_with_connect_info::<SocketAddr>();
    match tls {
        None => patient(axum_server::from_tcp(listener)?).handle(handle).serve(service).await,
        Some(pem) => {
            let config = RustlsConfig::from_pem(pem.certificate.into_bytes(), pem.key.into_bytes()).await?;
            patient(axum_server::from_tcp_rustls(listener, config)?).handle(handle).serve(service).await
        }
    }
}

/// A client that does not finish its question is not waited for.
fn patient<A>(server: Server<SocketAddr, A>) -> Server<SocketAddr, A> {
    let mut server = server.first_request_timeout(SLOWEST);
    server.http_builder().http1().header_read_timeout(SLOWEST);
    server
}

async fn shutdown(state: App, handle: Handle<SocketAddr>, stop: impl Future<Output = ()>) {
    stop.await;
    state.stop();
    handle.graceful_shutdown(Some(GRACE));
}
