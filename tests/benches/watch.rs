//! How long it takes from a save to the new picture: the built program's `watch` on a copy of the helm show, saved again and
//! again with another text, and timed until the page of that save is here in whole.

#[path = "../root/http.rs"]
mod http;

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// From the save to the last byte of the page.
const GOAL: Duration = Duration::from_millis(150);
const SAVES: usize = 15;
/// What each save changes: a text on the display, and a name that the page tells it by.
const TEXT: &str = "\"240M\"";
const CUE: &str = "\"chirp\"";

/// A `watch` that ends with its bench.
struct Watch(Child);

impl Drop for Watch {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn main() {
    let folder = tempfile::tempdir().expect("a folder");
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    copy(&root.join("fonts"), &folder.path().join("fonts"));
    copy(&root.join("scenes"), &folder.path().join("scenes"));
    let script = folder.path().join("scenes/helm.ron");
    let text = std::fs::read_to_string(&script).expect("the demo is there");
    let (_watch, port) = watch(&script);
    show(
        "a save of the helm show to the new page",
        (1..=SAVES).map(|number| saved(&script, &text, number, port)).collect(),
    );
    let drawn = (1..=SAVES).map(|number| drawn(number, port));
    let (pictures, pages) = drawn.unzip();
    show("a pixel drawn on its small font to its pictures", pictures);
    show("a pixel drawn on its small font to the new page, with the pause after it", pages);
}

fn show(what: &str, mut times: Vec<Duration>) {
    times.sort();
    println!("from {what}, {SAVES} times, of a goal of {:.0} ms", milliseconds(GOAL));
    for (name, time) in [("median", times[SAVES / 2]), ("worst", times[SAVES - 1])] {
        let share = time.as_secs_f64() / GOAL.as_secs_f64();
        println!("{name:8} {:>6.0} ms {share:>6.2}", milliseconds(time));
    }
}

/// Copies the files of a folder, its own folders left out.
fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(from).expect("a folder").flatten().filter(|entry| entry.path().is_file()) {
        std::fs::copy(entry.path(), to.join(entry.file_name())).expect("copied");
    }
}

/// Begins to watch; the program and its port, which it tells after the first build.
fn watch(script: &Path) -> (Watch, u16) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    let program = program.arg("watch").arg(script).args(["--port", "0"]).stdout(Stdio::piped());
    let mut program = program.spawn().expect("the program runs");
    let told = BufReader::new(program.stdout.take().expect("piped")).lines().next();
    let told = told.and_then(Result::ok).expect("it tells where it serves");
    let port = told.split(['/', ':']).find_map(|part| part.parse().ok()).expect("a port");
    (Watch(program), port)
}

/// Saves the script with a change and waits for its page, which a request on its way by then asks for.
fn saved(script: &Path, text: &str, number: usize, port: u16) -> Duration {
    let mark = format!("chirp-{number}");
    let changed = text.replace(TEXT, &format!("\"{:03}M\"", 240 + number)).replace(CUE, &format!("{mark:?}"));
    assert!(changed != text, "the demo has {TEXT} and {CUE}");
    let first = build(&http::get(port, "/").body);
    let page = std::thread::spawn(move || {
        let mut build = first;
        loop {
            let next = http::get(port, &format!("/next?after={build}"));
            if next.body.contains(&mark) {
                return Instant::now();
            }
            if next.status == 200 {
                build = self::build(&next.body);
            }
        }
    });
    let begun = Instant::now();
    std::fs::write(script, changed).expect("written");
    page.join().expect("a page").duration_since(begun)
}

/// Sets or clears the first pixel of the small font's `A` as a page does, and waits for the pictures that have it, and for the page
/// of its build: nothing else is built meanwhile.
fn drawn(number: usize, port: u16) -> (Duration, Duration) {
    let page = http::get(port, "/").body;
    let (token, build) = (attribute(&page, "token"), build(&page));
    let pixels = if number % 2 == 1 { "{\"set\":[[1,1]],\"clear\":[]}" } else { "{\"set\":[],\"clear\":[[1,1]]}" };
    let asked = format!(
        "GET /board?after=0 HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nX-Pageloom-Token: {token}\r\nConnection: close\r\n\r\n"
    );
    let board: serde_json::Value = serde_json::from_str(&http::exchange(port, &asked).body).expect("JSON");
    let sheet = board["order"][0].as_str().expect("a sheet");
    let body = format!(
        "{{\"page\":\"bench\",\"do\":{{\"sheet\":{sheet:?},\"stroke\":{number},\"action\":{{\"draw\":{pixels}}}}}}}"
    );
    let own = format!("127.0.0.1:{port}");
    let head = format!(
        "POST /board HTTP/1.1\r\nHost: {own}\r\nOrigin: http://{own}\r\nContent-Type: application/json\r\nX-Pageloom-Token: {token}\r\n\
         Content-Length: {}\r\nConnection: close\r\n\r\n{body}",
        body.len()
    );
    let begun = Instant::now();
    let answer = http::exchange(port, &head);
    assert_eq!(answer.status, 200, "{}", answer.body);
    let news = |draft: u32| loop {
        let news = http::get(port, &format!("/next?after={build}&draft={draft}"));
        if news.status == 200 {
            return (news.body, begun.elapsed());
        }
    };
    let (draft, pictures) = news(0);
    assert!(draft.starts_with("{\"draft\":1,\"scenes\":[{"), "pictures come first");
    (pictures, news(1).1)
}

fn build(page: &str) -> String {
    attribute(page, "build")
}

fn attribute(page: &str, name: &str) -> String {
    let value = page.split(&format!("data-{name}=\"")).nth(1).and_then(|rest| rest.split('"').next());
    value.unwrap_or_else(|| panic!("a page has its {name}")).to_owned()
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}
