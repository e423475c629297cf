//! A headless browser driven by the WebDriver protocol (W3C Recommendation), through Debian's chromium-driver.

use crate::root::http;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use tempfile::TempDir;

/// The name of an element's reference in WebDriver (§12.1).
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";
/// Seconds that a condition may take before a test fails.
const PATIENCE_SECONDS: u32 = 60;
const FLAGS: [&str; 10] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--force-color-profile=srgb",
];

/// A browser of its own, ended with the value.
pub struct Browser {
    driver: Child,
    port: u16,
    session: String,
    _profile: TempDir,
}

impl Browser {
    /// Starts one with a window of this size.
    pub fn new(width: u32, height: u32) -> Self {
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver is needed for this test (Debian package chromium-driver)");
        let lines = BufReader::new(driver.stdout.take().expect("piped")).lines();
        let port = |line: String| line.strip_suffix('.')?.rsplit(' ').next()?.parse().ok();
        let port = lines.map_while(Result::ok).filter(|line| line.contains("started successfully")).find_map(port);
        let port = port.expect("chromedriver tells its port");
        let profile = tempfile::tempdir().expect("a folder");
        let mut flags: Vec<String> = FLAGS.map(String::from).to_vec();
        flags.push(format!("--user-data-dir={}", profile.path().display()));
        flags.push(format!("--window-size={width},{height}"));
        let options = json!({"args": flags, "perfLoggingPrefs": {"enableNetwork": true}});
        let always = json!({
            "browserName": "chrome", "goog:chromeOptions": options, "goog:loggingPrefs": {"performance": "ALL"},
            "timeouts": {"script": PATIENCE_SECONDS * 1000}
        });
        let mut browser = Self { driver, port, session: String::new(), _profile: profile };
        let answer = browser.send("POST", "/session", &json!({"capabilities": {"alwaysMatch": always}}));
        browser.session = answer["sessionId"].as_str().expect("a session; chromium is needed for this test").to_owned();
        browser
    }

    fn send(&self, method: &str, target: &str, body: &Value) -> Value {
        let body = if method == "POST" { body.to_string() } else { String::new() };
        let answer = http::request(self.port, method, target, "localhost", &body);
        let value: Value = serde_json::from_str(&answer.body).expect("JSON");
        assert_eq!(answer.status, 200, "{method} {target}: {}", value["value"]["message"]);
        value["value"].clone()
    }
    fn post(&self, command: &str, body: &Value) -> Value {
        self.send("POST", &format!("/session/{}/{command}", self.session), body)
    }

    /// Opens an address and waits until the page is ready.
    pub fn open(&self, address: &str) {
        self.post("url", &json!({"url": address}));
        self.wait_for("document.body.dataset.ready === 'yes'");
    }
    /// The value of an expression of the page.
    pub fn value(&self, expression: &str) -> Value {
        self.post("execute/sync", &json!({"script": format!("return ({expression});"), "args": []}))
    }
    /// The text of an expression of the page.
    pub fn text(&self, expression: &str) -> String {
        self.value(expression).as_str().unwrap_or_else(|| panic!("{expression} is no text")).to_owned()
    }
    /// Waits until a condition of the page holds, looked at with every frame that the browser draws.
    pub fn wait_for(&self, condition: &str) {
        let script = format!(
            "const done = arguments[0]; const look = () => (({condition}) ? done(true) : requestAnimationFrame(look)); look();"
        );
        self.post("execute/async", &json!({"script": script, "args": []}));
    }

    /// Runs a script in the page, and then waits for what it hands to `done`.
    pub fn answer(&self, script: &str, ask: &str) -> Value {
        self.post("execute/sync", &json!({"script": script, "args": []}));
        let script = format!("const done = arguments[0]; {ask}");
        self.post("execute/async", &json!({"script": script, "args": []}))
    }

    /// The references of all elements that a selector finds.
    pub fn elements(&self, selector: &str) -> Vec<String> {
        let found = self.post("elements", &json!({"using": "css selector", "value": selector}));
        let found = found.as_array().expect("a list").iter();
        found.map(|element| element[ELEMENT].as_str().expect("a reference").to_owned()).collect()
    }
    fn element(&self, selector: &str) -> String {
        self.elements(selector).into_iter().next().unwrap_or_else(|| panic!("nothing is {selector}"))
    }
    /// Clicks an element as a mouse does.
    pub fn click(&self, selector: &str) {
        let element = self.element(selector);
        self.post(&format!("element/{element}/click"), &json!({}));
    }
    /// The name that assistive software is told.
    pub fn computed_name(&self, element: &str) -> String {
        let target = format!("/session/{}/element/{element}/computedlabel", self.session);
        self.send("GET", &target, &Value::Null).as_str().expect("a text").to_owned()
    }
    /// Presses and leaves a key, at whatever has the keyboard.
    pub fn key(&self, key: &str) {
        let actions = json!([{"type": "keyDown", "value": key}, {"type": "keyUp", "value": key}]);
        self.post("actions", &json!({"actions": [{"type": "key", "id": "keys", "actions": actions}]}));
    }
    /// Drags the mouse along an element, from one share of its width to another.
    pub fn drag(&self, selector: &str, from: f64, to: f64) {
        let origin = json!({ELEMENT: self.element(selector)});
        let width = self.value(&format!("document.querySelector('{selector}').clientWidth")).as_f64().expect("a width");
        // Places are counted from an element's middle.
        let place = |share: f64| json!({"type": "pointerMove", "duration": 0, "origin": origin, "x": ((share - 0.5) * width) as i64, "y": 0});
        let actions =
            json!([place(from), {"type": "pointerDown", "button": 0}, place(to), {"type": "pointerUp", "button": 0}]);
        self.post("actions", &json!({"actions": [{"type": "pointer", "id": "mouse", "actions": actions}]}));
    }

    /// Presses and leaves keys one after another, at whatever has the keyboard; a list of keys is pressed together.
    pub fn keys(&self, keys: &[&[&str]]) {
        let press = |kind: &str, key: &&str| json!({"type": kind, "value": key});
        let actions: Vec<Value> = keys
            .iter()
            .flat_map(|together| {
                let down = together.iter().map(|key| press("keyDown", key));
                down.chain(together.iter().rev().map(|key| press("keyUp", key))).collect::<Vec<_>>()
            })
            .collect();
        self.post("actions", &json!({"actions": [{"type": "key", "id": "keys", "actions": actions}]}));
    }
    /// Strokes of a pointer over the window, each from its first place through all others.
    pub fn strokes(&self, strokes: &[Vec<(f64, f64)>], pointer: &str) {
        let place = |(x, y): &(f64, f64)| json!({"type": "pointerMove", "duration": 0, "x": *x as i64, "y": *y as i64});
        let actions: Vec<Value> = strokes
            .iter()
            .flat_map(|stroke| {
                let down = json!({"type": "pointerDown", "button": 0});
                let up = json!({"type": "pointerUp", "button": 0});
                let first = stroke.iter().take(1).map(place).chain([down]);
                first.chain(stroke.iter().skip(1).map(place)).chain([up]).collect::<Vec<_>>()
            })
            .collect();
        let parameters = json!({"pointerType": pointer});
        self.post(
            "actions",
            &json!({"actions": [{"type": "pointer", "id": pointer, "parameters": parameters, "actions": actions}]}),
        );
    }

    /// A page in the light or the dark that the person prefers.
    pub fn prefer(&self, scheme: &str) {
        let features = json!([{"name": "prefers-color-scheme", "value": scheme}]);
        self.chrome("Emulation.setEmulatedMedia", &json!({"features": features}));
    }
    /// The same in the few colours that the person's system forces on pages (CSS Color Adjustment Module Level 1 §3).
    pub fn force_colours(&self, scheme: &str) {
        let features = json!([
            {"name": "forced-colors", "value": "active"},
            {"name": "prefers-color-scheme", "value": scheme},
        ]);
        self.chrome("Emulation.setEmulatedMedia", &json!({"features": features}));
    }
    /// A window of another size.
    pub fn resize(&self, width: u32, height: u32) {
        let metrics = json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": false});
        self.chrome("Emulation.setDeviceMetricsOverride", &metrics);
    }
    fn chrome(&self, command: &str, parameters: &Value) {
        self.post("goog/cdp/execute", &json!({"cmd": command, "params": parameters}));
    }
    /// The page printed on A4: the bytes of a PDF.
    pub fn print(&self) -> Vec<u8> {
        let page = json!({"width": 21.0, "height": 29.7});
        decoded(&self.post("print", &json!({"page": page, "background": true})))
    }
    /// What the window shows, as a PNG, kept for the eye.
    pub fn keep_picture(&self, name: &str) {
        let picture = self.send("GET", &format!("/session/{}/screenshot", self.session), &Value::Null);
        keep(&format!("{name}.png"), &decoded(&picture));
    }

    /// Every address that the page has asked for.
    pub fn requests(&self) -> Vec<String> {
        let log = self.post("se/log", &json!({"type": "performance"}));
        let message = |entry: &Value| serde_json::from_str::<Value>(entry["message"].as_str()?).ok();
        let sent = log.as_array().expect("a list").iter().filter_map(message);
        let sent = sent.filter(|entry| entry["message"]["method"] == "Network.requestWillBeSent");
        sent.filter_map(|entry| Some(entry["message"]["params"]["request"]["url"].as_str()?.to_owned())).collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // The driver ends its browser with the session; what has failed already needs no second word.
        if !self.session.is_empty() && !std::thread::panicking() {
            self.send("DELETE", &format!("/session/{}", self.session), &Value::Null);
        } else if !self.session.is_empty() {
            let target = format!("/session/{}", self.session);
            let _ = std::panic::catch_unwind(|| http::request(self.port, "DELETE", &target, "localhost", ""));
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// Puts a file where PAGELOOM_SHOTS names a folder for it.
pub fn keep(name: &str, bytes: &[u8]) {
    let Some(folder) = std::env::var_os("PAGELOOM_SHOTS") else { return };
    std::fs::write(std::path::Path::new(&folder).join(name), bytes).expect("written");
}

fn decoded(value: &Value) -> Vec<u8> {
    use base64::Engine;
    base64::engine::general_purpose::STANDARD.decode(value.as_str().expect("a text")).expect("base 64")
}
