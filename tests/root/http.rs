//! HTTP/1.1 as RFC 9112 has it, as little as the tests need: one request, one answer, on loopback.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::time::Duration;

/// Longer than anything here takes, so that a test fails and does not hang.
const PATIENCE: Duration = Duration::from_secs(120);

/// An answer's status and body.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub body: String,
}

/// Sends a request, with its body's length told, to a port at 127.0.0.1.
pub fn request(port: u16, method: &str, target: &str, host: &str, body: &str) -> Answer {
    let length = body.len();
    exchange(
        port,
        &format!(
            "{method} {target} HTTP/1.1\r\nHost: {host}\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n{body}"
        ),
    )
}

/// What is under a target at a port.
pub fn get(port: u16, target: &str) -> Answer {
    request(port, "GET", target, &format!("127.0.0.1:{port}"), "")
}

/// Sends bytes as they are.
pub fn exchange(port: u16, request: &str) -> Answer {
    let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).expect("the server answers");
    stream.set_read_timeout(Some(PATIENCE)).expect("a timeout");
    stream.write_all(request.as_bytes()).expect("sent");
    let mut answer = BufReader::new(stream);
    let status = line(&mut answer).split(' ').nth(1).and_then(|status| status.parse().ok()).expect("a status");
    let (mut length, mut chunked) = (None, false);
    loop {
        let header = line(&mut answer).to_ascii_lowercase();
        match header.split_once(':') {
            Some(("content-length", value)) => length = value.trim().parse::<u64>().ok(),
            Some(("transfer-encoding", value)) => chunked = value.trim() == "chunked",
            Some(_) => {}
            None => break,
        }
    }
    let mut body = Vec::new();
    let read =
        |answer: &mut BufReader<TcpStream>, length: u64, body: &mut Vec<u8>| answer.take(length).read_to_end(body);
    while chunked {
        let length = u64::from_str_radix(&line(&mut answer), 16).expect("a chunk's length");
        read(&mut answer, length, &mut body).expect("a chunk");
        line(&mut answer);
        chunked = length > 0;
    }
    if let Some(length) = length {
        read(&mut answer, length, &mut body).expect("a body");
    }
    Answer { status, body: String::from_utf8(body).expect("UTF-8") }
}

fn line(answer: &mut BufReader<TcpStream>) -> String {
    let mut line = String::new();
    answer.read_line(&mut line).expect("a line in time");
    line.trim_end().to_owned()
}
