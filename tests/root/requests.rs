//! Requests of every kind to `watch`: whatever it is sent, it answers or hangs up, goes on serving, and stays small. Those that
//! once broke something stay in `tests/cases/requests`.

use super::chance::{Chance, seeds};
use super::http::get;
use super::watch::Watched;
use std::io::{Read, Write};
use std::net::{Ipv4Addr, Shutdown, TcpStream};
use std::time::{Duration, Instant};

/// Longer than anything here takes, so that a test fails and does not hang.
const PATIENCE: Duration = Duration::from_secs(60);
/// The most memory that serving may take.
const MOST_KILOBYTES: u64 = 512 * 1024;

/// Sends a request; what comes back until the server hangs up. The connection stays open for it, as a server may drop a request
/// whose sender has closed.
fn sent(port: u16, bytes: &[u8]) -> String {
    exchanged(port, bytes, false)
}

/// Sends bytes, then closes for more if `ends`; what comes back until the server hangs up.
fn exchanged(port: u16, bytes: &[u8], ends: bool) -> String {
    let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).expect("the server takes a connection");
    stream.set_read_timeout(Some(PATIENCE)).expect("a timeout");
    // It may hang up before it has taken all.
    let written = stream.write_all(bytes);
    let _ = written.and_then(|()| if ends { stream.shutdown(Shutdown::Write) } else { Ok(()) });
    let (mut answer, mut part) = (Vec::new(), [0; 4096]);
    loop {
        match stream.read(&mut part) {
            Ok(0) => break,
            Ok(count) => answer.extend(&part[..count]),
            Err(error) => {
                let waits = matches!(error.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut);
                assert!(!waits, "no answer to {}", String::from_utf8_lossy(bytes));
                break; // hung up with bytes of ours unread
            }
        }
    }
    String::from_utf8_lossy(&answer).into_owned()
}

fn status(answer: &str) -> Option<u16> {
    answer.strip_prefix("HTTP/1.1 ")?.get(..3)?.parse().ok()
}

/// The most memory that the server had so far; Linux tells it (proc(5), `VmHWM`).
fn most_kilobytes(watched: &Watched) -> u64 {
    let told = std::fs::read_to_string(format!("/proc/{}/status", watched.id())).expect("the server runs");
    let line = told.lines().find_map(|line| line.strip_prefix("VmHWM:")).expect("its memory");
    line.trim().trim_end_matches(" kB").parse().expect("a number")
}

fn stands(watched: &Watched) {
    assert_eq!(get(watched.port, "/").status, 200);
    let taken = most_kilobytes(watched);
    assert!(taken < MOST_KILOBYTES, "the server took {taken} KiB");
}

#[test]
fn requests_that_once_broke_something_are_refused() {
    let watched = Watched::new();
    let mut paths: Vec<_> = std::fs::read_dir("tests/cases/requests").expect("the cases").flatten().collect();
    paths.sort_by_key(std::fs::DirEntry::path);
    assert!(!paths.is_empty());
    for path in paths {
        let text = std::fs::read_to_string(path.path()).expect("text");
        let request = text.replace("{port}", &watched.port.to_string()).replace('\n', "\r\n");
        let answer = sent(watched.port, request.as_bytes());
        let status = status(&answer);
        assert!(status.is_some_and(|status| (400..500).contains(&status)), "{:?}: {answer}", path.file_name());
    }
    stands(&watched);
}

/// RFC 6585 §5: 431 for a head that is too large.
#[test]
fn a_head_without_end_is_cut_off() {
    let watched = Watched::new();
    let own = format!("GET / HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n", watched.port);
    let long = format!("{own}X: {}\r\n\r\n", "a".repeat(8 << 20));
    let many = own.clone() + &"X: a\r\n".repeat(200) + "\r\n";
    for request in [long, many, format!("GET /{} HTTP/1.1\r\n\r\n", "a".repeat(8 << 20))] {
        let answer = sent(watched.port, request.as_bytes());
        assert!(status(&answer).is_none_or(|status| (400..500).contains(&status)), "{answer}");
    }
    stands(&watched);
}

#[test]
fn each_answer_says_what_a_browser_may_do_with_it() {
    let watched = Watched::new();
    let host = format!("Host: 127.0.0.1:{}", watched.port);
    for request in [
        format!("GET / HTTP/1.1\r\n{host}\r\n\r\n"),
        format!("GET /x HTTP/1.1\r\n{host}\r\n\r\n"),
        "GET / HTTP/1.1\r\n\r\n".into(),
    ] {
        let answer = sent(watched.port, request.as_bytes()).to_ascii_lowercase();
        let head = answer.split("\r\n\r\n").next().expect("a head");
        let wanted = [
            "content-security-policy: default-src 'none'; ",
            "; frame-ancestors 'none'",
            "x-content-type-options: nosniff",
            "cross-origin-resource-policy: same-origin",
            "cache-control: no-store",
            "content-type: text/",
        ];
        for words in wanted {
            assert!(head.contains(words), "{words} is not in\n{head}");
        }
    }
}

#[test]
fn more_connections_than_are_served_at_once_wait_for_their_turn() {
    let watched = Watched::new();
    let idle: Vec<_> =
        (0..200).map(|_| TcpStream::connect((Ipv4Addr::LOCALHOST, watched.port)).expect("taken")).collect();
    drop(idle);
    stands(&watched);
}

/// A request with a few bytes changed, put in, doubled or cut off.
fn mutated(port: u16, chance: &mut Chance) -> Vec<u8> {
    const PARTS: [&str; 16] = [
        "Content-Length: 99999999999999999999\r\n",
        "Content-Length: -1\r\n",
        "Content-Length: 5\r\n",
        "Transfer-Encoding: chunked\r\n",
        "Expect: 100-continue\r\n",
        "Upgrade: h2c\r\nConnection: Upgrade, HTTP2-Settings\r\n",
        "Host: example.org\r\n",
        "Origin: http://example.org\r\n",
        "Connection: keep-alive\r\n",
        " folded\r\n",
        "\r\n",
        "\0",
        "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
        "FFFFFFFFFFFFFFFF\r\n",
        "HTTP/9.9",
        "X: \u{fe0f}\u{1f41f}\r\n",
    ];
    let target = chance
        .pick(&[
            "/",
            "/next?after=1",
            "/next?after=1e9",
            "/next?after=99999999999999999999",
            "*",
            "/%00",
            "//",
            "/next",
            "/board",
            "/board?after=1",
        ])
        .to_owned();
    let method = chance.pick(&["GET", "GET", "HEAD", "POST", "CONNECT", "TRACE", "G\u{1}T"]).to_owned();
    let mut request =
        format!("{method} {target} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nAccept: */*\r\n\r\n").into_bytes();
    for _ in 0..=chance.below(4) {
        if request.is_empty() {
            break;
        }
        let at = chance.below(request.len());
        match chance.below(6) {
            0 => request[at] = chance.byte(),
            1 => drop(request.remove(at)),
            2 => request.truncate(at + 1),
            3 => request.insert(at, chance.byte()),
            _ => {
                // Between lines, or anywhere.
                let line = request[at..].windows(2).position(|two| two == b"\r\n").map_or(at, |on| at + on + 2);
                let at = if chance.below(3) > 0 { line } else { at };
                request.splice(at..at, chance.pick(&PARTS).bytes());
            }
        }
    }
    request
}

#[test]
fn mutated_requests_are_answered_or_hung_up_on() {
    let watched = Watched::new();
    let (mut tried, mut longest) = (0, Duration::ZERO);
    for seed in seeds(1000) {
        let request = mutated(watched.port, &mut Chance::of(seed));
        let from = Instant::now();
        exchanged(watched.port, &request, true);
        longest = longest.max(from.elapsed());
        tried += 1;
    }
    stands(&watched);
    println!("{tried} requests; the longest took {longest:?}, the most memory was {} KiB", most_kilobytes(&watched));
}
