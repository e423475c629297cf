//! `watch` as other programs meet it: what it serves and to whom, and how it follows the files of a show.

use super::http::{Answer, exchange, get, request};
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

/// Builds that may come before the one that is waited for.
const MOST_BUILDS: usize = 40;

/// A show in a folder of its own, watched and served.
pub struct Watched {
    program: Child,
    pub port: u16,
    pub folder: TempDir,
}

/// A small show; its scene's name tells one save from another.
pub fn script(scene: &str) -> String {
    format!(
        r#"Show(
    name: "beacon",
    panel: "0.42in-72x40-ssd1306",
    bus: I2c(clock: 400_000),
    microcontroller: Part(name: "ATmega328P", flash_left: 8_000, ram_left: 300),
    frame_rate: 20,
    fonts: {{"small": "type/small.ron"}},
    triggers: {{"bell": Go("{scene}")}},
    start: "{scene}",
    scenes: [
        Scene(name: "{scene}", seconds: 2, then: Repeat, layers: [
            Text(text: "{}", font: "small", at: Centre),
        ]),
    ],
)
"#,
        scene.to_uppercase()
    )
}

impl Watched {
    /// Lays out the show and starts to watch it.
    pub fn new() -> Self {
        Self::with(&["beacon.ron"], |_| {})
    }
    /// Lays out the show, changes it, and starts to watch with these arguments.
    pub fn with(arguments: &[&str], change: impl FnOnce(&Path)) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let watched = |path: &Path| {
            let mut program = Command::new(env!("CARGO_BIN_EXE_pageloom"))
                .arg("watch")
                .args(arguments)
                .args(["--port", "0"])
                .current_dir(path)
                .stdout(Stdio::piped())
                .spawn()
                .expect("the program runs");
            let told = BufReader::new(program.stdout.take().expect("piped")).lines().next();
            let told = told.and_then(Result::ok).expect("it tells where it serves");
            let port = told.split(['/', ':']).find_map(|part| part.parse().ok()).expect("a port");
            (program, port)
        };
        lay_font(folder.path());
        std::fs::write(folder.path().join("beacon.ron"), script("first")).expect("written");
        change(folder.path());
        let (program, port) = watched(folder.path());
        Self { program, port, folder }
    }
    /// The number of its process.
    pub fn id(&self) -> u32 {
        self.program.id()
    }
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }
    pub fn save(&self, text: &str) {
        std::fs::write(self.path("beacon.ron"), text).expect("written");
    }
    /// The page that stands now.
    pub fn page(&self) -> String {
        get(self.port, "/").body
    }
    /// Waits for builds until a page is as wanted; each wait ends with the next build and not by time.
    fn until(&self, wanted: impl Fn(&str) -> bool) -> String {
        let mut page = self.page();
        for _ in 0..MOST_BUILDS {
            if wanted(&page) {
                return page;
            }
            let next = get(self.port, &format!("/next?after={}", build(&page)));
            if next.status == 200 {
                page = next.body;
            }
        }
        panic!("no such page came; the last says {}", told(&page));
    }
}

impl Drop for Watched {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

fn lay_font(folder: &Path) {
    let fonts = Path::new(env!("CARGO_MANIFEST_DIR")).join("fonts");
    std::fs::create_dir_all(folder.join("type")).expect("a folder");
    std::fs::copy(fonts.join("cleat.png"), folder.join("type/cleat.png")).expect("copied");
    std::fs::copy(fonts.join("cleat.ron"), folder.join("type/small.ron")).expect("copied");
}

fn build(page: &str) -> &str {
    page.split("data-build=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a page has its build's number")
}

/// What the page says at its top.
fn told(page: &str) -> &str {
    page.split("role=\"status\">").nth(1).and_then(|rest| rest.split("</p>").next()).unwrap_or(page)
}

/// Whether the page shows a picture of a scene, and whether its build had no fault.
fn shows(page: &str, scene: &str) -> bool {
    page.contains(&format!("\"name\":\"{scene}\""))
}
fn is_good(page: &str) -> bool {
    !told(page).contains("class=\"fault\"")
}

#[test]
fn of_ten_saves_one_after_another_the_last_one_stands() {
    let watched = Watched::with(&["beacon.ron", "--quick"], |_| {});
    assert!(shows(&watched.page(), "first"));
    for number in 0..10 {
        watched.save(&script(&format!("take{number}")));
    }
    let page = watched.until(|page| shows(page, "take9"));
    assert!(is_good(&page));
    // Every save is behind it, so it is the same page that stays.
    assert_eq!(build(&watched.page()), build(&watched.until(|page| shows(page, "take9"))));
}

#[test]
fn a_script_that_vanishes_leaves_the_last_good_picture_until_it_comes_back() {
    let watched = Watched::new();
    std::fs::remove_file(watched.path("beacon.ron")).expect("removed");
    let page = watched.until(|page| !is_good(page));
    assert!(page.contains("there is no file beacon.ron") && shows(&page, "first"), "{}", told(&page));
    assert!(told(&page).contains("The last good picture stays"));
    watched.save(&script("back"));
    assert!(is_good(&watched.until(|page| shows(page, "back"))));
}

#[test]
fn a_folder_that_vanishes_is_waited_for() {
    let watched = Watched::new();
    std::fs::remove_dir_all(watched.path("type")).expect("removed");
    let page = watched.until(|page| !is_good(page) && page.contains("there is no file type/small.ron"));
    assert!(shows(&page, "first"));
    lay_font(watched.folder.path());
    watched.until(is_good);
    // And what is saved in the new folder is seen again.
    std::fs::write(watched.path("type/small.ron"), "Font(").expect("written");
    watched.until(|page| !is_good(page));
    lay_font(watched.folder.path());
    watched.until(is_good);
}

#[test]
fn a_fault_is_told_with_its_place_and_gone_once_it_is_mended() {
    let watched = Watched::new();
    watched.save(&script("second").replace("at: Centre", "at: Middle"));
    let page = watched.until(|page| !is_good(page));
    assert!(page.contains("beacon.ron:12:") && page.contains("<mark>Middle</mark>"), "{}", told(&page));
    assert!(shows(&page, "first") && !shows(&page, "second"));
    watched.save(&script("second"));
    assert!(is_good(&watched.until(|page| shows(page, "second"))));
}

#[test]
fn a_port_in_use_is_told_by_its_number_with_what_to_do() {
    let watched = Watched::new();
    let port = watched.port.to_string();
    let mut second = Command::new(env!("CARGO_BIN_EXE_pageloom"));
    let output = second.args(["watch", "beacon.ron", "--port", &port]).current_dir(watched.folder.path()).output();
    let output = output.expect("the program runs");
    let faults = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(1));
    assert!(faults.contains(&format!("port {port} on 127.0.0.1 is in use")), "{faults}");
    assert!(faults.contains("--port; 0 takes any free port"), "{faults}");
}

/// The Linux kernel lists its listening sockets in /proc/net/tcp with addresses in hexadecimal, lowest byte first (proc(5)).
#[test]
fn only_loopback_is_listened_to() {
    let watched = Watched::new();
    let sockets = std::fs::read_to_string("/proc/net/tcp").expect("Linux lists its sockets");
    let own = format!(":{:04X}", watched.port);
    let listening = sockets.lines().filter(|line| line.split_whitespace().nth(3) == Some("0A"));
    let addresses: Vec<&str> = listening.filter_map(|line| line.split_whitespace().nth(1)).collect();
    let own: Vec<&&str> = addresses.iter().filter(|address| address.ends_with(&own)).collect();
    assert_eq!(own, [&format!("0100007F:{:04X}", watched.port).as_str()]);
    assert!(std::net::TcpStream::connect(("127.0.0.2", watched.port)).is_err(), "another address of loopback");
}

/// Ways out of a folder as RFC 3986 §5.2.4 (dot segments) and §2.1 (percent-encoding) let them be written.
#[test]
fn no_file_is_served_whatever_the_path() {
    let watched = Watched::new();
    std::fs::write(watched.path("secret.txt"), "a secret").expect("written");
    let depth = "../".repeat(12);
    let targets = [
        "/beacon.ron",
        "/secret.txt",
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/%2E%2E%2Fsecret.txt",
        "/..%5csecret.txt",
        "/.//secret.txt",
        "//etc/passwd",
        "/?file=secret.txt",
        "/next?after=1/../secret.txt",
        "/next?after=",
        "/next",
        "/type/small.ron",
        "secret.txt",
    ];
    for target in targets.iter().map(|target| (*target).to_owned()).chain([format!("/{depth}etc/passwd")]) {
        let Answer { status, body } = get(watched.port, &target);
        assert!((400..500).contains(&status), "{target}: {status}");
        assert!(!body.contains("secret") && !body.contains("root:") && !body.contains("Font("), "{target}: {body}");
    }
}

/// A name of another site may be made to lead to 127.0.0.1 (DNS rebinding); the Host header (RFC 9110 §7.2) tells.
#[test]
fn another_sites_name_and_other_methods_are_refused() {
    let watched = Watched::new();
    let (port, own) = (watched.port, format!("127.0.0.1:{}", watched.port));
    for host in ["example.org", "example.org:80", "127.0.0.1", "127.0.0.1:1", "", "localhost.example.org"] {
        assert_eq!(request(port, "GET", "/", host, "").status, 403, "{host}");
    }
    for method in ["POST", "PUT", "DELETE", "OPTIONS"] {
        assert_eq!(request(port, method, "/", &own, "").status, 403, "{method}");
    }
    let origin =
        format!("GET /next?after=1 HTTP/1.1\r\nHost: {own}\r\nOrigin: http://example.org\r\nConnection: close\r\n\r\n");
    assert_eq!(exchange(port, &origin).status, 403, "a page of another site asks");
    assert_eq!(request(port, "GET", "/", &own, "").status, 200);
    assert_eq!(request(port, "GET", "/", &format!("localhost:{port}"), "").status, 200);
}
