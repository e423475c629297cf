//! What is served, and to whom: the page, the waiting for its next build, and the drawing board, to pages of this machine's own
//! name alone.

use super::PATIENCE;
use super::board::{LONGEST_BODY, Refusal, Request as BoardRequest};
use super::shared::{News, Shared};
use crate::report::CONTENT_POLICY;
use http_body_util::{BodyExt, Full, Limited};
use hyper::body::{Body, Bytes};
use hyper::header::{CONTENT_TYPE, HOST, HeaderMap, HeaderName, HeaderValue, ORIGIN};
use hyper::{Method, Request, Response, StatusCode};
use serde_json::json;

const PAGE: &str = "text/html; charset=utf-8";
const WORDS: &str = "text/plain; charset=utf-8";
const JSON: &str = "application/json";
/// The header in which a page shows its token. Pages of other sites cannot send it without being asked first (the Fetch standard
/// on CORS-preflight), and that question is refused.
const TOKEN: HeaderName = HeaderName::from_static("x-pageloom-token");

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

/// Answers one request. No target leads to a file; only what changes the drawing board has a body.
pub async fn answer<B>(request: Request<B>, port: u16, shared: &Shared) -> Response<Full<Bytes>>
where
    B: Body<Data = Bytes>,
    B::Error: Into<Box<dyn std::error::Error + Send + Sync>>,
{
    let target = request.uri().path_and_query().map_or("", |target| target.as_str());
    if is_own(&request, port) && request.method() == Method::POST && target == "/board" {
        return change(request, shared).await;
    }
    if !is_own(&request, port) || request.method() != Method::GET {
        return words(StatusCode::FORBIDDEN, "only a browser on this computer can open this page");
    }
    if !request.body().is_end_stream() {
        return words(StatusCode::PAYLOAD_TOO_LARGE, "requests to this server must not have a body");
    }
    if target == "/" {
        return response(StatusCode::OK, PAGE, shared.page());
    }
    if let Some(version) = target.strip_prefix("/board?after=").and_then(|version| version.parse().ok()) {
        return sheets(&request, version, shared).await;
    }
    let Some((build, draft)) = target.strip_prefix("/next?after=").and_then(known) else {
        return words(StatusCode::NOT_FOUND, "there is no such page here");
    };
    match shared.after(build, draft).await {
        Some(News::Page(page)) => response(StatusCode::OK, PAGE, page),
        Some(News::Draft(draft)) => response(StatusCode::OK, JSON, draft),
        None => response(StatusCode::NO_CONTENT, PAGE, Bytes::new()),
    }
}

/// What a page that asks for news has: the number of its build, and of its draft if it takes drafts.
fn known(numbers: &str) -> Option<(u64, Option<u64>)> {
    match numbers.split_once("&draft=") {
        Some((build, draft)) => Some((build.parse().ok()?, Some(draft.parse().ok()?))),
        None => Some((numbers.parse().ok()?, None)),
    }
}

/// The token that a request shows; empty without one.
fn token<B>(request: &Request<B>) -> &str {
    only(request.headers(), &TOKEN).flatten().unwrap_or("")
}

/// What changed on the drawing board.
async fn sheets<B>(request: &Request<B>, version: u64, shared: &Shared) -> Response<Full<Bytes>> {
    if !shared.board.is_own(token(request)) {
        return words(StatusCode::FORBIDDEN, "only pages that this `watch` served can ask for this");
    }
    match shared.board.after(version, PATIENCE).await {
        Some(sheets) => response(StatusCode::OK, JSON, sheets.to_string().into()),
        None => response(StatusCode::NO_CONTENT, JSON, Bytes::new()),
    }
}

/// Changes the drawing board. A browser sends the origin with every such request (the Fetch standard, 3.1), so that one without it
/// comes from no page.
async fn change<B>(request: Request<B>, shared: &Shared) -> Response<Full<Bytes>>
where
    B: Body<Data = Bytes>,
    B::Error: Into<Box<dyn std::error::Error + Send + Sync>>,
{
    let is_json = only(request.headers(), &CONTENT_TYPE).flatten() == Some(JSON);
    let shown = token(&request).to_owned();
    if !request.headers().contains_key(ORIGIN) || !is_json || !shared.board.is_own(&shown) {
        return words(StatusCode::FORBIDDEN, "only pages that this `watch` served can change files");
    }
    let Ok(body) = Limited::new(request.into_body(), LONGEST_BODY).collect().await else {
        return words(StatusCode::PAYLOAD_TOO_LARGE, "this request is too long");
    };
    let Some(asked) = BoardRequest::read(&body.to_bytes()) else {
        return words(StatusCode::BAD_REQUEST, "this is not a valid request to the drawing board");
    };
    match shared.board.act(&asked) {
        Ok(version) => response(StatusCode::OK, JSON, json!({ "version": version }).to_string().into()),
        Err(Refusal(why)) => response(StatusCode::CONFLICT, JSON, json!({ "why": why }).to_string().into()),
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
