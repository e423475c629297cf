//! What is served, and to whom: the page and the waiting for its next build, to pages of this machine's own name alone.

use super::Shared;
use crate::report::CONTENT_POLICY;
use http_body_util::Full;
use hyper::body::{Body, Bytes};
use hyper::header::{HOST, HeaderMap, HeaderName, HeaderValue, ORIGIN};
use hyper::{Method, Request, Response, StatusCode};

const PAGE: &str = "text/html; charset=utf-8";
const WORDS: &str = "text/plain; charset=utf-8";

/// Headers of every answer beside its kind and the policy of its content: nothing is kept, nothing is guessed, no other page may
/// hold this one or read it. RFC 9111 §5.2.2.5; the Fetch standard on `nosniff` and on the resource policy; Referrer Policy.
const HEADERS: [(&str, &str); 5] = [
    ("cache-control", "no-store"),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-resource-policy", "same-origin"),
];
/// What the policy of a page as a file cannot say (CSP Level 3 §3.3 ignores `frame-ancestors` in a `meta`).
const SERVED_POLICY: &str = "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Answers one request; nothing that it says leads to a file, and no body is read.
pub async fn answer<B: Body>(request: Request<B>, port: u16, shared: &Shared) -> Response<Full<Bytes>> {
    if !is_own(&request, port) || request.method() != Method::GET {
        return words(StatusCode::FORBIDDEN, "only this machine's own browser is served");
    }
    if !request.body().is_end_stream() {
        return words(StatusCode::PAYLOAD_TOO_LARGE, "no request here has a body");
    }
    let target = request.uri().path_and_query().map_or("", |target| target.as_str());
    if target == "/" {
        return response(StatusCode::OK, PAGE, shared.page());
    }
    let Some(build) = target.strip_prefix("/next?after=").and_then(|build| build.parse().ok()) else {
        return words(StatusCode::NOT_FOUND, "only the report is served here");
    };
    match shared.after(build).await {
        Some(page) => response(StatusCode::OK, PAGE, page),
        None => response(StatusCode::NO_CONTENT, PAGE, Bytes::new()),
    }
}

fn words(status: StatusCode, words: &'static str) -> Response<Full<Bytes>> {
    response(status, WORDS, Bytes::from_static(words.as_bytes()))
}

fn response(status: StatusCode, kind: &'static str, body: Bytes) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::new(body));
    *response.status_mut() = status;
    let headers = response.headers_mut();
    headers.insert("content-type", HeaderValue::from_static(kind));
    if let Ok(policy) = HeaderValue::from_str(&format!("{CONTENT_POLICY}; {SERVED_POLICY}")) {
        headers.insert("content-security-policy", policy);
    }
    for (name, value) in HEADERS {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    response
}

/// Whether a request names this server as its host, and no page of another site asks: a name of another site may have been
/// made to lead here.
fn is_own<B>(request: &Request<B>, port: u16) -> bool {
    let names = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let is_name = |name: &str| names.iter().any(|own| own == name);
    // A target may name a host too (RFC 9112 §3.2.2), which would then count in place of the header.
    let authority = request.uri().authority().is_none_or(|authority| is_name(authority.as_str()));
    let host = only(request.headers(), &HOST).is_some_and(|host| host.is_some_and(is_name));
    let origin = only(request.headers(), &ORIGIN);
    let origin =
        origin.is_some_and(|origin| origin.is_none_or(|origin| origin.strip_prefix("http://").is_some_and(is_name)));
    authority && host && origin
}

/// The value of a header that may be given once: `Some(None)` without it, `None` if it is there more than once or is no text.
fn only<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<Option<&'a str>> {
    let mut values = headers.get_all(name).iter();
    match (values.next(), values.next()) {
        (None, _) => Some(None),
        (Some(value), None) => value.to_str().ok().map(Some),
        _ => None,
    }
}
