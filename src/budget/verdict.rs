//! The verdict on a show in one sentence: does it fit, does it keep time.

use super::choice::ProfileFit;
use crate::diag::{Findings, Severity, number_of, percent};

/// The verdict in words, with the shares of flash, RAM and time and the numbers of findings.
pub fn verdict(fit: &ProfileFit, findings: &Findings) -> String {
    let used = |share: f64| {
        if share.is_finite() { percent(share) } else { "over 100 %".to_owned() }
    };
    let late = match fit.late_frames {
        0 => String::new(),
        some => format!(", {} late", number_of(some, "frame")),
    };
    let head = match (fit.fits(), fit.falls_behind) {
        (true, false) if fit.late_frames == 0 => "Fits and keeps time".to_owned(),
        (true, false) => format!("Fits{late}"),
        (true, true) => "Fits, but does not keep time".to_owned(),
        (false, false) => format!("Does not fit{late}"),
        (false, true) => "Does not fit and does not keep time".to_owned(),
    };
    let shares = format!(
        "flash {}, RAM {}, time {} at worst",
        used(fit.flash_share),
        used(fit.ram_share),
        used(fit.worst_time_share)
    );
    let counts = [(Severity::Error, "error"), (Severity::Warning, "warning"), (Severity::Note, "note")];
    let found: Vec<String> = counts
        .into_iter()
        .map(|(severity, word)| (findings.count(severity), word))
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| number_of(count, word))
        .collect();
    let found = if found.is_empty() { String::new() } else { format!(" {}.", found.join(", ")) };
    format!("{head}: {shares}.{found}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::{Finding, Place};

    #[test]
    fn it_says_whether_the_show_fits_and_keeps_time() {
        let fit = ProfileFit {
            profile: "lean",
            reel_bytes: 0,
            player_bytes: 0,
            flash_bytes: 0,
            ram_bytes: 0,
            mean_time_share: 0.1,
            worst_time_share: 0.47,
            noticed_time_share: 0.47,
            flash_share: 0.48,
            ram_share: 0.12,
            late_frames: 0,
            falls_behind: false,
            taken: true,
        };
        let mut findings = Findings::default();
        assert_eq!(verdict(&fit, &findings), "Fits and keeps time: flash 48 %, RAM 12 %, time 47 % at worst.");
        findings.push(Finding::note(Place::Nowhere, "one"));
        findings.push(Finding::note(Place::Nowhere, "another"));
        let late = ProfileFit { late_frames: 1, worst_time_share: 1.5, ..fit };
        assert_eq!(
            verdict(&late, &findings),
            "Fits, 1 frame late: flash 48 %, RAM 12 %, time 150 % at worst. 2 notes."
        );
        let over = ProfileFit { flash_share: 1.2, falls_behind: true, ..fit };
        assert!(verdict(&over, &findings).starts_with("Does not fit and does not keep time: flash 120 %"));
    }
}
