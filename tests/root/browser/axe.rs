//! The report and every view of the served page, by the rules of axe, an engine for WCAG and good practice that is not ours (PyPI
//! package axe-core-python): no violation in light or dark, on a telephone, a tablet or a desk.

use super::{built, scene};
use crate::root::browser::driver::Browser;
use crate::root::watch::Watched;
use serde_json::Value;
use std::process::Command;

const WIDTHS: [u32; 3] = [390, 800, 1400];
const HEIGHT: u32 = 900;
const ASK: &str = "axe.run().then((found) => done(found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`)));";

/// The engine's script.
fn engine() -> String {
    let place =
        "import axe_core_python, os; print(os.path.join(os.path.dirname(axe_core_python.__file__), 'axe.min.js'))";
    let output = Command::new("python3").args(["-c", place]).output().expect("python3 is needed for this test");
    let faults = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "the Python package axe-core-python is needed for this test: {faults}");
    std::fs::read_to_string(String::from_utf8_lossy(&output.stdout).trim()).expect("a script")
}

/// Looks at the page that is open in every width, in light and in dark.
fn sound(browser: &Browser, engine: &str, name: &str) {
    for width in WIDTHS {
        browser.resize(width, HEIGHT);
        for scheme in ["light", "dark"] {
            browser.prefer(scheme);
            browser.wait_for(&format!("matchMedia('(prefers-color-scheme: {scheme})').matches"));
            let found = browser.answer(engine, ASK);
            assert_eq!(found, Value::Array(Vec::new()), "{name}, {width} pixels wide, {scheme}");
        }
    }
}

#[test]
fn the_report_breaks_no_rule() {
    let (engine, folder) = (engine(), tempfile::tempdir().expect("a folder"));
    let browser = Browser::new(1200, HEIGHT);
    browser.open(&built(folder.path(), &scene("helm")));
    sound(&browser, &engine, "report");
}

#[test]
fn no_view_of_the_served_page_breaks_a_rule() {
    let engine = engine();
    let watched = Watched::with(&["beacon.ron"], |folder| {
        std::fs::copy(scene("helm").with_file_name("submersible.png"), folder.join("boat.png")).expect("copied");
        let script = std::fs::read_to_string(folder.join("beacon.ron")).expect("a show");
        let script = script.replace("    triggers:", "    pictures: {\"boat\": \"boat.png\"},\n    triggers:");
        let script = script.replace("layers: [", "layers: [Sprite(picture: \"boat\", at: TopLeft, columns: 16),");
        std::fs::write(folder.join("beacon.ron"), script).expect("written");
    });
    for view in ["show", "fonts", "pictures"] {
        // A new one each time: an address that differs behind `#` alone loads nothing.
        let browser = Browser::new(1200, HEIGHT);
        browser.open(&format!("http://127.0.0.1:{}/#{view}", watched.port));
        browser.wait_for("document.body.dataset.settled === 'yes'");
        sound(&browser, &engine, view);
        browser.resize(390, HEIGHT);
        assert_eq!(browser.value("document.documentElement.scrollWidth <= innerWidth").as_bool(), Some(true), "{view}");
    }
    let browser = Browser::new(1200, HEIGHT);
    let alone = Watched::with(&["type/small.ron"], |_| {});
    browser.open(&format!("http://127.0.0.1:{}/", alone.port));
    browser.wait_for("document.querySelectorAll('#cells li').length > 0");
    sound(&browser, &engine, "font alone");
}

/// The engine itself, on a page with a picture that has no text (axe's rule `image-alt`).
#[test]
fn a_fault_is_found() {
    let (engine, folder) = (engine(), tempfile::tempdir().expect("a folder"));
    let browser = Browser::new(1200, HEIGHT);
    browser.open(&built(folder.path(), &scene("helm")));
    browser.value("document.querySelector('main').insertAdjacentHTML('afterbegin', '<img src=\"data:,\">')");
    let found = browser.answer(&engine, ASK);
    assert!(found.as_array().is_some_and(|found| found.len() == 1), "{found}");
    assert!(found[0].as_str().is_some_and(|words| words.starts_with("image-alt: ")), "{found}");
}
