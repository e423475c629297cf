//! The served page beside an editor: it follows each save.

use super::{PICTURE, PLACE};
use crate::root::browser::driver::Browser;
use crate::root::watch::{Watched, script};

/// What the page says at its top.
const STATE: &str = "document.querySelector('[role=status]').textContent";

#[test]
fn a_save_changes_the_picture_a_fault_leaves_it_and_mending_goes_on() {
    let watched = Watched::new();
    let browser = Browser::new(1200, 900);
    browser.open(&format!("http://127.0.0.1:{}/", watched.port));
    let first = browser.text(PICTURE);
    browser.value("window.same = true");
    browser.value("document.getElementById('on').focus()");

    watched.save(&script("second"));
    browser.wait_for(&format!("{PLACE}.startsWith('second, ')"));
    let second = browser.text(PICTURE);
    assert_ne!(first, second);
    assert_eq!(browser.value("window.same"), true, "the page was not loaded anew");
    assert_eq!(browser.text("document.activeElement.id"), "on", "the keyboard stays where it was");

    watched.save(&script("third").replace("at: Centre", "at: Middle"));
    browser.wait_for("document.querySelector('#findings .error')");
    assert!(
        browser.text(STATE).contains("The last build failed: 1 error. The last good picture stays in place."),
        "{}",
        browser.text(STATE)
    );
    let fault = browser.text("document.querySelector('#findings .error').textContent");
    assert!(fault.contains("beacon.ron:12:") && fault.contains("Middle"), "{fault}");
    assert_eq!(browser.text(PICTURE), second, "the last good picture stays");
    browser.keep_picture("fault");

    watched.save(&script("third"));
    browser.wait_for(&format!("{PLACE}.startsWith('third, ')"));
    assert!(browser.value("document.querySelector('.error')").is_null());
}

#[test]
fn a_page_without_a_good_build_fills_once_there_is_one() {
    let watched = Watched::new();
    watched.save("Show(");
    let browser = Browser::new(1200, 900);
    browser.open(&format!("http://127.0.0.1:{}/", watched.port));
    browser.wait_for("document.querySelector('#findings .error')");
    watched.save(&script("later"));
    browser.wait_for(&format!("document.getElementById('place') && {PLACE}.startsWith('later, ')"));
    browser.key("1");
    browser.wait_for(&format!("{PLACE}.startsWith('Live: later, ')"));
}

#[test]
fn a_page_says_when_nobody_answers_any_more() {
    let watched = Watched::new();
    let browser = Browser::new(1200, 900);
    browser.open(&format!("http://127.0.0.1:{}/", watched.port));
    drop(watched);
    browser.wait_for("!document.getElementById('lost').hidden");
}

#[test]
fn the_place_is_kept_by_scene_and_frame_when_the_show_grows() {
    let watched = Watched::new();
    let browser = Browser::new(1200, 900);
    browser.open(&format!("http://127.0.0.1:{}/", watched.port));
    for _ in 0..5 {
        browser.click("#on");
    }
    let longer = script("first").replace("seconds: 2", "seconds: 3");
    watched.save(&longer);
    browser.wait_for(&format!("{PLACE}.includes(' of 60, ')"));
    assert!(browser.text(PLACE).starts_with("first, frame 6 of 60"), "{}", browser.text(PLACE));
}
