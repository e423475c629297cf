//! What people need who see or hear little, or use no mouse: names, keyboard, contrast.

use super::{at_the_helm, built, flashing};
use crate::root::browser::driver::Browser;
use std::collections::BTreeSet;

const TAB: &str = "\u{E004}";
const CONTROLS: &str = "button, input, select, a[href], summary";

#[test]
fn every_control_and_picture_has_a_name() {
    let (browser, _folder) = at_the_helm(1200, 900);
    browser.click("summary");
    let found = browser.elements(&format!("{CONTROLS}, canvas, svg, img:not(.stills img), meter"));
    assert!(found.len() > 30, "{}", found.len());
    for element in &found {
        let name = browser.computed_name(element);
        // A sign alone says nothing to those who hear it.
        assert!(name.chars().filter(|letter| letter.is_alphabetic()).count() >= 2, "an element is named `{name}`");
    }
    // The stills are for paper, so that they are not shown here.
    let unnamed =
        "[...document.querySelectorAll('.stills img')].filter((still) => !still.alt.startsWith('Scene ')).length";
    assert_eq!(browser.value(unnamed).as_i64(), Some(0));
    assert_eq!(browser.value("document.querySelectorAll('.stills img').length").as_i64(), Some(5));
}

/// Every control that is shown can be come to by the key Tab (WCAG 2.1.1), and shows that it was (2.4.7).
#[test]
fn the_keyboard_comes_to_every_control() {
    let (browser, _folder) = at_the_helm(1200, 900);
    browser.click("summary");
    browser.value("document.activeElement.blur()");
    let number = format!("[...document.querySelectorAll('{CONTROLS}')].indexOf(document.activeElement)");
    let count = browser.elements(CONTROLS).len() as i64;
    let mut reached = BTreeSet::new();
    // Regions that scroll are come to as well.
    let regions = browser.elements("[tabindex='0']").len() as i64;
    for _ in 0..count + regions + 4 {
        browser.key(TAB);
        if let Some(at @ 0..) = browser.value(&number).as_i64() {
            reached.insert(at);
            let outline = browser.text("getComputedStyle(document.activeElement).outlineStyle");
            assert_eq!(outline, "solid", "control {at} does not show that it has the keyboard");
        }
    }
    let missed: Vec<i64> = (0..count).filter(|at| !reached.contains(at)).collect();
    assert_eq!(missed, Vec::<i64>::new(), "of {count} controls");
}

/// Texts whose contrast with what lies behind them is too low, by WCAG 2.x: relative luminance by its definition, 4.5 to 1,
/// or 3 to 1 for large letters (1.4.3) and for the edges of controls or their ground (1.4.11).
const TOO_FAINT: &str = r#"(() => {
  const numbers = (colour) => { const found = colour.match(/[\d.]+/g).map(Number); return found.length < 4 ? [...found, 1] : found; };
  const linear = (value) => { const share = value / 255; return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4; };
  const luminance = ([red, green, blue]) => 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);
  const over = (front, back) => [0, 1, 2].map((at) => front[at] * front[3] + back[at] * (1 - front[3]));
  const ground = (element) => {
    if (!element) return [255, 255, 255];
    const own = numbers(getComputedStyle(element).backgroundColor);
    return own[3] === 1 ? own : over(own, ground(element.parentElement));
  };
  const contrast = (one, other) => { const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b); return (high + 0.05) / (low + 0.05); };
  const faint = [];
  let looked = 0;
  for (const element of document.querySelectorAll("body *")) {
    const style = getComputedStyle(element), own = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
    if (!element.getClientRects().length || ["SCRIPT", "STYLE", "OPTION", "TITLE"].includes(element.tagName.toUpperCase())) continue;
    const back = ground(element), said = (element.id || element.className.baseVal || element.className || element.tagName) + ": " + element.textContent.trim().slice(0, 30);
    if (own) {
      const size = parseFloat(style.fontSize), large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
      const front = over(numbers(element instanceof SVGElement ? style.fill : style.color), back), found = contrast(front, back);
      looked += 1;
      if (found < (large ? 3 : 4.5)) faint.push(`${said} ${found.toFixed(2)}`);
    }
    if (element.matches("button, select, input[type=number]")) {
      const around = ground(element.parentElement), found = Math.max(contrast(numbers(style.borderTopColor), around), contrast(back, around));
      if (found < 3) faint.push(`edge of ${said} ${found.toFixed(2)}`);
    }
  }
  return looked < 50 ? ["only " + looked + " texts were looked at"] : faint;
})()"#;

fn faint(browser: &Browser, scheme: &str) -> Vec<String> {
    browser.prefer(scheme);
    browser.wait_for(&format!("matchMedia('(prefers-color-scheme: {scheme})').matches"));
    serde_json::from_value(browser.value(TOO_FAINT)).expect("a list")
}

#[test]
fn texts_and_controls_stand_out_in_light_and_in_dark() {
    let (browser, folder) = at_the_helm(1200, 900);
    browser.click("summary");
    for scheme in ["light", "dark"] {
        assert_eq!(faint(&browser, scheme), Vec::<String>::new(), "{scheme}");
    }
    let other = folder.path().join("other");
    browser.open(&built(&other, &flashing()));
    for scheme in ["light", "dark"] {
        assert_eq!(faint(&browser, scheme), Vec::<String>::new(), "{scheme}, with findings and a caution");
    }
}

#[test]
fn texts_stand_out_in_forced_colours() {
    let (browser, _folder) = at_the_helm(1200, 900);
    for scheme in ["light", "dark"] {
        browser.force_colours(scheme);
        browser.wait_for("matchMedia('(forced-colors: active)').matches");
        browser.wait_for(&format!("matchMedia('(prefers-color-scheme: {scheme})').matches"));
        let faint = browser.value(TOO_FAINT);
        assert_eq!(faint, serde_json::json!([]), "{scheme}");
    }
}

/// The check itself, on a page with one text of a known contrast: #777777 on white is 4.48 to 1 (a usual worked example).
#[test]
fn the_check_of_contrast_finds_a_text_that_is_too_faint() {
    let (browser, _folder) = at_the_helm(1200, 900);
    browser.prefer("light");
    browser.value("document.querySelector('h1').insertAdjacentHTML('afterend', '<p id=\"pale\" style=\"color: #777777\">pale</p>')");
    assert_eq!(faint(&browser, "light"), ["pale: pale 4.48"]);
}
