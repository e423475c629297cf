//! The drawing board as other programs meet it: what reaches the files, what stays, and who is refused. Pillow, which is not ours,
//! reads and writes the pictures beside it.

use super::http::{Answer, exchange, get};
use super::watch::Watched;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use flate2::read::DeflateDecoder;
use serde_json::{Value, json};
use std::io::Read;
use std::path::Path;
use std::process::Command;

const SHEET: &str = "type/small.ron";
const PNG: &str = "type/cleat.png";

/// What Pillow does with a picture, and what it prints.
pub fn pillow(arguments: &[&str]) -> String {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/root/board.py");
    let output = Command::new("python3").arg(script).args(arguments).output().expect("python3 is needed for this test");
    let faults = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "Pillow for python3 is needed for this test: {faults}");
    String::from_utf8(output.stdout).expect("text")
}

fn read(path: &Path) -> String {
    pillow(&["read", &path.display().to_string()])
}

/// The pixels in which two pictures differ, by what Pillow prints of them.
fn differing(one: &str, other: &str) -> Vec<(usize, usize)> {
    assert_eq!(one.lines().nth(1), other.lines().nth(1), "size");
    let rows = one.lines().zip(other.lines()).skip(2).enumerate();
    let pixels = rows.flat_map(|(y, (one, other))| {
        let columns = (0..one.len() / 8).filter(|x| one[x * 8..x * 8 + 8] != other[x * 8..x * 8 + 8]);
        columns.map(move |x| (x, y)).collect::<Vec<_>>()
    });
    pixels.collect()
}

/// Text chunks and colour type, as Pillow has them.
fn head(read: &str) -> &str {
    read.lines().next().expect("a line")
}

/// A page of the board: what it shows to the server.
pub struct Page {
    port: u16,
    token: String,
    name: &'static str,
}

impl Page {
    pub fn of(watched: &Watched, name: &'static str) -> Self {
        let page = watched.page();
        let token = page.split("data-token=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a token");
        Self { port: watched.port, token: token.to_owned(), name }
    }
    fn send(&self, head: &str, body: &str) -> Answer {
        let (port, length) = (self.port, body.len());
        exchange(
            port,
            &format!(
                "POST /board HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: {length}\r\n{head}Connection: close\r\n\r\n{body}"
            ),
        )
    }
    fn own_head(&self) -> String {
        let (port, token) = (self.port, &self.token);
        format!("Origin: http://127.0.0.1:{port}\r\nContent-Type: application/json\r\nX-Pageloom-Token: {token}\r\n")
    }
    fn ask(&self, deed: Value) -> Answer {
        let mut body = json!({"page": self.name});
        body.as_object_mut().expect("fields").extend(deed.as_object().expect("fields").clone());
        self.send(&self.own_head(), &body.to_string())
    }
    fn act(&self, stroke: u64, action: Value) -> Answer {
        self.ask(json!({"do": {"sheet": SHEET, "stroke": stroke, "action": action}}))
    }
    fn must(&self, stroke: u64, action: Value) {
        let answer = self.act(stroke, action);
        assert_eq!(answer.status, 200, "{}", answer.body);
    }
    fn undo(&self) {
        assert_eq!(self.ask(json!({"undo": null})).status, 200);
    }
    /// What the board shows now of the font.
    fn font(&self) -> Value {
        let (port, token) = (self.port, &self.token);
        let head = format!("Host: 127.0.0.1:{port}\r\nX-Pageloom-Token: {token}\r\nConnection: close");
        let answer = exchange(port, &format!("GET /board?after=0 HTTP/1.1\r\n{head}\r\n\r\n"));
        assert_eq!(answer.status, 200);
        serde_json::from_str::<Value>(&answer.body).expect("JSON")["sheets"][0].clone()
    }
}

/// A pixel of the cell of `A`, which is the first of the sheet: margin 1.
fn set(pixels: &[(u32, u32)]) -> Value {
    json!({"draw": {"set": pixels, "clear": []}})
}
fn clear(pixels: &[(u32, u32)]) -> Value {
    json!({"draw": {"set": [], "clear": pixels}})
}

fn noted() -> Watched {
    Watched::with(&["beacon.ron"], |folder| {
        pillow(&["note", &folder.join(PNG).display().to_string(), "drawn by hand"]);
    })
}

#[test]
fn a_pixel_reaches_the_sheet_and_nothing_else_changes() {
    let watched = noted();
    let (page, png) = (Page::of(&watched, "one"), watched.path(PNG));
    let (before, ron) = (read(&png), std::fs::read(watched.path(SHEET)).expect("a font"));
    assert!(head(&before).contains("drawn by hand"), "{}", head(&before));
    // A of the font Cleat has a round top: its first pixel is dark, its second lit.
    page.must(1, set(&[(1, 1)]));
    page.must(1, clear(&[(2, 1)]));
    let after = read(&png);
    assert_eq!(differing(&before, &after), [(1, 1), (2, 1)]);
    assert_eq!(head(&before), head(&after), "text chunks and colour type");
    assert_eq!(std::fs::read(watched.path(SHEET)).expect("a font"), ron);
    let cell = page.font()["state"]["cells"][0].clone();
    assert_eq!(cell["symbol"], "A");
    assert!(cell["rows"].as_str().expect("rows").starts_with("#../"), "{cell}");
    page.undo();
    assert_eq!(read(&png), before, "one stroke is taken back at once");
}

/// The pictures come first, and are those of the build that follows: the page's one scene is packed in the same way in both.
#[test]
fn the_display_shows_a_pixel_before_the_show_is_built() {
    fn between<'t>(text: &'t str, from: &str) -> &'t str {
        text.split(from).nth(1).and_then(|rest| rest.split('"').next()).expect("a value in quotes")
    }
    /// The frames of a page, base 64 and deflated; a draft's are packed in less time.
    fn frames(text: &str) -> Vec<u8> {
        let packed = STANDARD.decode(between(text, "\"frames\":\"")).expect("base 64");
        let mut frames = Vec::new();
        DeflateDecoder::new(&packed[..]).read_to_end(&mut frames).expect("deflated");
        frames
    }
    let watched = noted();
    let page = Page::of(&watched, "one");
    let before = watched.page();
    let build = between(&before, "data-build=\"");
    // The left end of the upper bar of the `I`, which is the ninth cell.
    page.must(1, json!({"draw": {"set": [], "clear": [[33, 1]]}}));
    let draft = get(watched.port, &format!("/next?after={build}&draft=0")).body;
    assert!(draft.starts_with("{\"draft\":1,"), "{draft}");
    let built = get(watched.port, &format!("/next?after={build}")).body;
    assert_ne!(frames(&draft), frames(&before));
    assert_eq!(frames(&draft), frames(&built));
    assert!(!built.contains("id=\"draft\""), "a build needs no draft");
}

#[test]
fn a_field_of_the_font_changes_and_comments_stay() {
    let watched = noted();
    let (page, png, path) = (Page::of(&watched, "one"), watched.path(PNG), watched.path(SHEET));
    let (pixels, before) = (std::fs::read(&png).expect("a sheet"), std::fs::read_to_string(&path).expect("a font"));
    page.must(1, json!({"kern": {"first": "A", "second": "V", "value": -1}}));
    page.must(2, json!({"field": {"field": "advance", "value": 5}}));
    page.must(3, json!({"advance": {"symbol": "I", "value": 2}}));
    let after = std::fs::read_to_string(&path).expect("a font");
    let expected = before
        .replace("Mono(4)", "Mono(5)")
        .replace("    cells:", "    kerning: {\"AV\": -1},\n    advances: {\"I\": 2},\n    cells:");
    assert_eq!(after, expected);
    let refused = page.act(4, json!({"field": {"field": "baseline", "value": 9}}));
    assert!(refused.status == 409 && refused.body.contains("below the cell"), "{}", refused.body);
    for _ in 0..3 {
        page.undo();
    }
    assert_eq!(std::fs::read_to_string(&path).expect("a font"), before);
    assert_eq!(std::fs::read(&png).expect("a sheet"), pixels, "the picture is not written");
}

#[test]
fn cells_are_added_and_taken_back_again() {
    let watched = noted();
    let (page, png) = (Page::of(&watched, "one"), watched.path(PNG));
    watched.save(&super::watch::script("first").replace("text: \"FIRST\"", "text: \"FIRST ÉÜ\""));
    let before = (read(&png), std::fs::read_to_string(watched.path(SHEET)).expect("a font"));
    page.must(1, json!({"extend": {"symbols": ["É", "Ü"]}}));
    let after = read(&png);
    assert!(head(&after).contains("drawn by hand") && head(&after) == head(&before.0));
    let old_rows = before.0.lines().count() - 3;
    assert!(before.0.lines().skip(2).take(old_rows).eq(after.lines().skip(2).take(old_rows)), "drawn cells stay");
    assert!(std::fs::read_to_string(watched.path(SHEET)).expect("a font").contains("\"ÉÜ\""));
    page.undo();
    assert_eq!((read(&png), std::fs::read_to_string(watched.path(SHEET)).expect("a font")), before);
}

#[test]
fn two_pages_lose_no_pixel_and_each_takes_back_its_own() {
    let watched = noted();
    let pages = ["one", "two"].map(|name| Page::of(&watched, name));
    let cells = |first: u32| (0..15u32).map(|pixel| (1 + first * 4 + pixel % 3, 1 + pixel / 3)).collect::<Vec<_>>();
    let before = read(&watched.path(PNG));
    // Both draw on the cells A to D: one makes them full, the other empty, pixel by pixel and at the same time.
    std::thread::scope(|scope| {
        for (number, page) in pages.iter().enumerate() {
            scope.spawn(move || {
                for at in cells(number as u32).into_iter().chain(cells(number as u32 + 2)) {
                    page.must(u64::from(at.0 * 100 + at.1), if number == 0 { set(&[at]) } else { clear(&[at]) });
                }
            });
        }
    });
    let rows = |page: &Page| -> Vec<String> {
        (0..4).map(|cell| page.font()["state"]["cells"][cell]["rows"].as_str().expect("rows").to_owned()).collect()
    };
    let (full, empty) = (["###"; 5].join("/"), ["..."; 5].join("/"));
    assert_eq!(rows(&pages[0]), [full.clone(), empty.clone(), full, empty]);
    while pages[0].ask(json!({"undo": null})).status == 200 {}
    let kept: Vec<(usize, usize)> = differing(&before, &read(&watched.path(PNG)));
    assert!(!kept.is_empty() && kept.iter().all(|(x, _)| [1, 3].contains(&((x - 1) / 4))), "{kept:?}");
    while pages[1].ask(json!({"undo": null})).status == 200 {}
    assert_eq!(read(&watched.path(PNG)), before);
}

#[test]
fn what_another_program_saves_meanwhile_stays() {
    let watched = noted();
    let (page, png) = (Page::of(&watched, "one"), watched.path(PNG));
    let before = read(&png);
    page.must(1, set(&[(1, 1)]));
    pillow(&["set", &png.display().to_string(), "7", "1"]);
    page.must(2, set(&[(3, 1)]));
    assert_eq!(differing(&before, &read(&png)), [(1, 1), (3, 1), (7, 1)]);
    assert!(page.font()["outside"].as_u64() >= Some(1), "and the page shows that");
    page.undo();
    page.undo();
    assert_eq!(differing(&before, &read(&png)), [(7, 1)]);
    // A sheet that is broken meanwhile is not written over.
    std::fs::write(&png, "half a picture").expect("written");
    assert_eq!(page.act(3, set(&[(1, 1)])).status, 409);
    assert_eq!(std::fs::read_to_string(&png).expect("as it was"), "half a picture");
}

/// RFC 6454 §7 (Origin), the Fetch standard on simple requests: a page of another site can send text, but no JSON and no token.
#[test]
fn only_a_page_of_this_process_changes_files() {
    let watched = noted();
    let (page, png) = (Page::of(&watched, "one"), watched.path(PNG));
    let before = std::fs::read(&png).expect("a sheet");
    let body = json!({"page": "one", "do": {"sheet": SHEET, "stroke": 1, "action": set(&[(1, 1)])}}).to_string();
    let own = page.own_head();
    let port = watched.port;
    let wrong = [
        own.replace(&format!("Origin: http://127.0.0.1:{port}\r\n"), ""),
        own.replace(&format!("http://127.0.0.1:{port}"), "http://example.org"),
        own.replace(&format!("http://127.0.0.1:{port}"), "null"),
        own.replace(&format!("http://127.0.0.1:{port}"), &format!("https://127.0.0.1:{port}")),
        own.replace("application/json", "text/plain"),
        own.replace("Content-Type: application/json\r\n", ""),
        own.replace(&page.token, &page.token.replace(|digit: char| digit.is_ascii_digit(), "0")),
        own.replace(&page.token, ""),
        own.replace(&format!("X-Pageloom-Token: {}\r\n", page.token), ""),
        format!("{own}Origin: http://example.org\r\n"),
    ];
    for head in &wrong {
        assert_eq!(page.send(head, &body).status, 403, "{head}");
    }
    let elsewhere = format!(
        "POST /board HTTP/1.1\r\nHost: example.org\r\nContent-Length: {}\r\n{own}Connection: close\r\n\r\n{body}",
        body.len()
    );
    assert_eq!(exchange(port, &elsewhere).status, 403, "another name of this machine");
    let asked = format!("GET /board?after=0 HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n");
    assert_eq!(exchange(port, &asked).status, 403, "and nothing is shown without a token");
    for nonsense in ["", "{", "[]", "{\"page\":\"one\"}", &body.replace("\"set\"", "\"file\"")] {
        assert_eq!(page.send(&own, nonsense).status, 400, "{nonsense}");
    }
    for (sheet, action) in [("../beacon.ron", set(&[(1, 1)])), (SHEET, set(&[(0, 0)])), (SHEET, set(&[(9999, 1)]))] {
        let answer = page.ask(json!({"do": {"sheet": sheet, "stroke": 1, "action": action}}));
        assert_eq!(answer.status, 409, "{}", answer.body);
    }
    assert_eq!(std::fs::read(&png).expect("a sheet"), before);
    assert_eq!(page.send(&own, &body).status, 200, "what is right is done");
}

#[test]
fn a_page_that_may_only_read_changes_nothing() {
    let watched = Watched::with(&["beacon.ron", "--read-only"], |_| {});
    let page = Page::of(&watched, "one");
    let refused = page.act(1, set(&[(1, 1)]));
    assert!(refused.status == 409 && refused.body.contains("--read-only"), "{}", refused.body);
    assert!(page.font()["locked"].as_str().expect("words").contains("read-only"));
}

#[cfg(unix)]
#[test]
fn no_file_is_written_through_a_link_that_leads_out() {
    let outside = tempfile::tempdir().expect("a folder");
    let watched = Watched::with(&["beacon.ron"], |folder| {
        let target = outside.path().join("cleat.png");
        std::fs::rename(folder.join(PNG), &target).expect("moved");
        std::os::unix::fs::symlink(&target, folder.join(PNG)).expect("a link");
    });
    let page = Page::of(&watched, "one");
    let before = std::fs::read(outside.path().join("cleat.png")).expect("a sheet");
    let refused = page.act(1, set(&[(1, 1)]));
    assert!(refused.status == 409 && refused.body.contains("leads out"), "{}", refused.body);
    assert_eq!(std::fs::read(outside.path().join("cleat.png")).expect("a sheet"), before);
    // A link within the folder is followed, and stays a link.
    std::fs::rename(outside.path().join("cleat.png"), watched.path("own.png")).expect("moved");
    std::fs::remove_file(watched.path(PNG)).expect("removed");
    std::os::unix::fs::symlink("../own.png", watched.path(PNG)).expect("a link");
    page.must(2, set(&[(1, 1)]));
    assert!(std::fs::symlink_metadata(watched.path(PNG)).expect("there").is_symlink());
    assert_ne!(std::fs::read(watched.path("own.png")).expect("a sheet"), before);
}

#[test]
fn a_font_alone_is_served_and_drawn_on() {
    let watched = Watched::with(&[SHEET], |_| {});
    let page = Page::of(&watched, "one");
    assert_eq!(page.font()["state"]["font"]["name"], "Cleat");
    let before = read(&watched.path(PNG));
    page.must(1, set(&[(1, 1)]));
    assert_eq!(differing(&before, &read(&watched.path(PNG))), [(1, 1)]);
}
