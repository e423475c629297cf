//! Flash: the reel exactly, the player as measured or estimated, against what the show says is left.

use super::by_layer::by_layer;
use super::choice::Choice;
use super::fields::field_flash;
use super::lamps::lamp_flash;
use super::study::Study;
use super::time::other_profile;
use super::{Budget, Figure};
use crate::diag::{Finding, Findings, number};
use crate::reel::Reel;
use crate::show::Show;
use crate::whole::limited;

/// The title of this budget.
pub const TITLE: &str = "flash";

/// Flash of the thresholds in all: code and table; none without any.
fn threshold_flash(show: &Show) -> u32 {
    let table: u32 = limited(show.threshold_table().len());
    if table == 0 { 0 } else { table + show.microcontroller().threshold_code().flash.0 }
}

/// Flash of live texts in addition to the reel: code and tables; 0 without live texts.
fn text_flash(show: &Show) -> u32 {
    let tables: u32 = limited(show.live_texts().iter().map(|text| text.table().len()).sum::<usize>());
    if tables == 0 { 0 } else { tables + show.microcontroller().text_code().flash.0 }
}

/// Bytes of flash of reel, player, supervisor, fields, lamps, live texts and thresholds.
pub fn flash_in_all(show: &Show, reel: &Reel) -> u32 {
    let part = show.microcontroller();
    let code = part.player_cost().0.flash_with(reel.parts).0 + part.supervisor_code().flash.0;
    limited::<u32, usize>(reel.bytes.len())
        + code
        + field_flash(show, reel)
        + lamp_flash(show, reel)
        + text_flash(show)
        + threshold_flash(show)
}

/// Checks the flash; a reel that does not fit is an error.
pub fn flash(show: &Show, choice: &Choice, studies: &[Vec<Study<'_>>], findings: &mut Findings) -> Budget {
    let reel = &choice.fitted.reel;
    let (player, measured) = show.microcontroller().player_cost();
    let (live, left) = (field_flash(show, reel), show.room().flash.0);
    let lamps = lamp_flash(show, reel);
    let code = player.flash_with(reel.parts);
    let bytes = flash_in_all(show, reel);
    let size = Figure::new("player", f64::from(code.0), "B").headline();
    let size = size.from("code size of the C player, without your bus driver", player.evidence(measured));
    let size = if measured { size } else { size.rough() };
    let mut figures = vec![
        Figure::new("reel", reel.bytes.len() as f64, "B").headline().from("counted", "the reel itself"),
        Figure::new(
            "header and set-up",
            (reel.layout.header_bytes + reel.layout.set_up_bytes + reel.layout.contrast_bytes) as f64,
            "B",
        )
        .from("counted; included in the reel", "the reel itself"),
    ];
    if reel.layout.strip_bytes > 0 {
        figures.push(
            Figure::new("strips of moving pictures", reel.layout.strip_bytes as f64, "B")
                .from("counted; included in the scenes", "the reel itself"),
        );
    }
    if reel.layout.model_bytes > 0 {
        figures.push(
            Figure::new("probability model", reel.layout.model_bytes as f64, "B")
                .from("counted; included in the reel", "the reel itself"),
        );
    }
    for (scene, layout) in show.scenes().iter().zip(&reel.layout.scenes) {
        let name = format!("scene {}", scene.name);
        figures
            .push(Figure::new(name, layout.all() as f64, "B").from("counted; included in the reel", "the reel itself"));
    }
    figures.push(size);
    let supervisor = show.microcontroller().supervisor_code();
    figures.push(Figure::of_code("supervisor", supervisor.flash.0, supervisor).headline());
    figures.extend(by_layer(reel, studies));
    if live > 0 {
        let figure = Figure::new("fields", f64::from(live), "B").headline();
        figures.push(figure.from("code and tables of the fields", "the budget of the fields"));
    }
    if lamps > 0 {
        let figure = Figure::new("lamps", f64::from(lamps), "B").headline();
        figures.push(figure.from("code and tables of the lamps", "the budget of the lamps"));
    }
    let texts = text_flash(show);
    if texts > 0 {
        let figure = Figure::new("live texts", f64::from(texts), "B").headline();
        figures.push(figure.from(
            "code, and a table of 4 + 1 for each different character",
            "avr-size and arm-none-eabi-size; the table",
        ));
    }
    let thresholds = threshold_flash(show);
    if thresholds > 0 {
        let figure = Figure::new("thresholds", f64::from(thresholds), "B").headline();
        figures.push(figure.from("code, and a table of 1 + 6 for each", "avr-size and arm-none-eabi-size; the table"));
    }
    let total = Figure::new("flash in total", f64::from(bytes), "B").limit(f64::from(left));
    figures.push(total.from(
        "reel + player + supervisor + fields + lamps + live texts + thresholds",
        "the rows above; the limit is `flash_left` of the show",
    ));
    if bytes > left {
        report(show, choice, bytes - left, findings);
    }
    Budget { title: TITLE, figures }
}

fn report(show: &Show, choice: &Choice, over: u32, findings: &mut Findings) {
    let reel = &choice.fitted.reel;
    let part = &show.microcontroller().name;
    let message = format!("reel and player exceed the free flash of the {part} by {over} B");
    let mut finding = Finding::broken_limit(show.spans().microcontroller, message);
    if let Some(other) = other_profile(choice) {
        finding = finding.hint(other);
    }
    let scenes = show.scenes().iter().zip(&reel.layout.scenes);
    if let Some((scene, layout)) = scenes.max_by_key(|(_, layout)| layout.all()) {
        let rate = layout.all() as f64 / f64::from(scene.frames.0.max(1));
        let message = format!(
            "scene `{}` takes the most: {} B, {} B per frame",
            scene.name,
            number(layout.all() as f64),
            number(rate)
        );
        finding = finding.also(scene.span, "takes most").hint(message);
    }
    let share = f64::from(show.room().flash.0) / f64::from(show.room().flash.0 + over);
    let rate = (f64::from(show.frame_rate().frames_per_second()) * share).floor();
    if rate >= 1.0 {
        finding = finding.hint(format!(
            "about {rate} frames a second would fit (rough: assumes that flash grows with the number of frames)"
        ));
    }
    findings.push(finding.hint("scroll texts by whole lines, or keep more of the picture still"));
}
