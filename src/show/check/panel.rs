//! Checks a show against its panel: contrasts that the controller has and the liquid crystal tolerates, and offsets that vary.

use crate::diag::{Finding, Findings, Span, number};
use crate::panel::Panel;
use crate::show::Scene;
use crate::units::FrameRate;

/// Within this part of the voltage that the panel is set up for, a liquid crystal is taken to be readable (common practice).
const READABLE_PERCENT: u64 = 8;

/// Reports contrasts beyond the panel's range, voltages at which an LCD cannot be read, and what may differ from panel to panel.
pub fn check_panel(span: Span, panel: &Panel, scenes: &[Scene], rate: FrameRate, findings: &mut Findings) {
    let highest = panel.highest_safe_contrast();
    for scene in scenes {
        let contrasts = scene.contrast.all(scene.frames.0, rate);
        let most = contrasts.iter().copied().max().unwrap_or(0);
        if most > highest {
            let message =
                format!("scene `{}` has contrast {most}, but the highest for this panel is {highest}", scene.name);
            findings.push(Finding::error(scene.span, message).hint(range_words(panel, highest)));
            continue;
        }
        let usual = panel.crystal_millivolts(panel.drive.contrast).unwrap_or(0);
        let unread = contrasts.into_iter().filter(|contrast| {
            let off = panel.crystal_millivolts(*contrast).unwrap_or(usual).abs_diff(usual);
            off * 100 > usual * READABLE_PERCENT
        });
        if let Some(contrast) = unread.max_by_key(|contrast| contrast.abs_diff(panel.drive.contrast)) {
            let volts = panel.crystal_millivolts(contrast).unwrap_or(0) as f64 / 1000.0;
            let message = format!(
                "contrast {contrast} in scene `{}` gives the LCD {} V: it may be blank, or dark all over",
                scene.name,
                number(volts)
            );
            let hint = format!("the panel is set up for contrast {}; an LCD does not fade", panel.drive.contrast);
            findings.push(Finding::warning(scene.span, message).hint(hint));
        }
    }
    if panel.known_first_columns.len() > 1 {
        let columns: Vec<String> = panel.known_first_columns.iter().map(u8::to_string).collect();
        let message = format!(
            "panels like this one are known with first column {}, and this row has {}",
            columns.join(", "),
            panel.wiring.first_column
        );
        findings.push(Finding::note(span, message).hint(
            "flash the bring-up show first: it shows by how many columns the picture is shifted; then describe it with `Panel(…)`",
        ));
    }
    if panel.controller.is_lcd() {
        let message = "this panel is an LCD: below about 0 °C it changes slowly, and its contrast depends on temperature and viewing angle";
        findings.push(
            Finding::note(span, message)
                .hint("test it in its final place, and adjust `contrast` for the viewing angle"),
        );
    }
}

fn range_words(panel: &Panel, highest: u8) -> String {
    match panel.crystal_millivolts(highest) {
        Some(millivolts) => {
            format!(
                "use 0 to {highest}: {highest} gives {} V, the most that is safe",
                number(millivolts as f64 / 1000.0)
            )
        }
        None => format!("use 0 to {highest}"),
    }
}
