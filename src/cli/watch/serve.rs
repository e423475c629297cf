//! What is served, and to whom: the page and the waiting for its next build, to pages of this machine's own name alone.

use super::Shared;
use tiny_http::{Header, Method, Request, Response};

const PAGE: &str = "text/html; charset=utf-8";

/// Answers one request; nothing that it says leads to a file.
pub fn answer(request: Request, port: u16, shared: &Shared) {
    let (status, kind, body) = if !is_own(&request, port) || *request.method() != Method::Get {
        (403, "text/plain", "only this machine's own browser is served".to_owned())
    } else if request.url() == "/" {
        (200, PAGE, shared.lock().page.clone())
    } else if let Some(build) = request.url().strip_prefix("/next?after=").and_then(|build| build.parse().ok()) {
        shared.after(build).map_or((204, PAGE, String::new()), |page| (200, PAGE, page))
    } else {
        (404, "text/plain", "only the report is served here".to_owned())
    };
    let headers = [("Content-Type", kind), ("Cache-Control", "no-store")];
    let headers = headers.into_iter().filter_map(|(field, value)| Header::from_bytes(field, value).ok());
    let response = headers.fold(Response::from_string(body).with_status_code(status), Response::with_header);
    // A browser that has gone away needs no answer.
    let _ = request.respond(response);
}

/// Whether a request names this server as its host, and no page of another site asks: a name of another site may have been
/// made to lead here.
fn is_own(request: &Request, port: u16) -> bool {
    let header = |name: &'static str| {
        let found = request.headers().iter().find(|header| header.field.equiv(name));
        found.map(|header| header.value.as_str().to_owned())
    };
    let names = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let host = header("Host").is_some_and(|host| names.contains(&host));
    host && header("Origin").is_none_or(|origin| names.iter().any(|name| origin == format!("http://{name}")))
}
