//! Accepts connections at 127.0.0.1 within limits: their number, the time of each, and the length of its head.

use super::Shared;
use super::serve::answer;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio::time::{sleep, timeout};

/// Connections at one time, far more than the tabs of a browser take; further ones wait.
const MOST_CONNECTIONS: usize = 64;
/// Bytes of a request's head, and header fields in it.
const LONGEST_HEAD: usize = 16 * 1024;
const MOST_HEADERS: usize = 64;
/// How long a head may take to come.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// How long a whole exchange may take: the head, the waiting for a build, and the sending of a page.
const EXCHANGE_TIME: Duration = Duration::from_secs(90);
/// How long to wait when the system has no connection to give, such as for want of file descriptors.
const RESPITE: Duration = Duration::from_millis(100);

/// Serves without end. Each connection has one request.
pub async fn listen(listener: TcpListener, port: u16, shared: Arc<Shared>) {
    let free = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    // It is never closed, so a place in it always comes.
    while let Ok(place) = Arc::clone(&free).acquire_owned().await {
        let Ok((stream, _)) = listener.accept().await else {
            sleep(RESPITE).await;
            continue;
        };
        let shared = Arc::clone(&shared);
        tokio::spawn(async move {
            // A browser that has gone away or is too slow needs no answer.
            let _ = timeout(EXCHANGE_TIME, exchange(stream, port, &shared)).await;
            drop(place);
        });
    }
}

async fn exchange(stream: TcpStream, port: u16, shared: &Shared) -> hyper::Result<()> {
    let service = service_fn(|request| async move { Ok::<_, Infallible>(answer(request, port, shared).await) });
    http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIME)
        .max_buf_size(LONGEST_HEAD)
        .max_headers(MOST_HEADERS)
        .keep_alive(false)
        .serve_connection(TokioIo::new(stream), service)
        .await
}
