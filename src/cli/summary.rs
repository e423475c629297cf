//! What a build came to, as a person likes to read it: the verdict, a line on the show, the headline of each budget with its limit, and
//! what each profile takes.

use super::sources::Sources;
use super::table::Table;
use crate::budget::{Figure, Fit, verdict};
use crate::build::Production;
use crate::diag::Findings;

/// Steps of the bar that shows how much of a limit is taken.
const BAR_STEPS: usize = 20;

/// The verdict, a few lines on the show, and its budgets' headlines.
pub fn summary(production: &Production, findings: &Findings) -> String {
    let (show, rehearsal) = (&production.show, &production.rehearsal);
    let rate = show.frame_rate();
    let frames: u32 = show.scenes().iter().map(|scene| scene.frames.0).sum();
    let verdict = verdict(&production.choice.fitted.fit, findings);
    let scenes = show.scenes().len();
    let head = format!(
        "{verdict}\n\n{}: {scenes} scene{}, {frames} frames at {} a second on {}\n",
        show.name(),
        if scenes == 1 { "" } else { "s" },
        rate.frames_per_second(),
        show.panel().name
    );
    let mut table = Table::bare(5);
    for budget in &production.budgets {
        let mut title = budget.title;
        for figure in budget.figures.iter().filter(|figure| figure.headline) {
            table.row([
                format!("  {}", std::mem::take(&mut title)),
                figure.name.clone(),
                amount(figure),
                figure.limit.map_or(String::new(), |limit| format!("of {}", number(limit, figure.unit))),
                figure.limit.map_or(String::new(), |limit| bar(figure.value, limit)),
            ]);
        }
    }
    let seconds = rehearsal.seconds_at(show, rehearsal.shown.len());
    let profiles = profiles(&production.choice.profiles);
    let truth =
        format!("  played by the shipped player on the modelled controller: every pixel as drawn, {seconds:.0} s");
    format!("{head}\n{table}\n{profiles}{truth}\n")
}

/// What the best reel of each profile takes; nothing where only one was made.
fn profiles(profiles: &[Fit]) -> String {
    if profiles.len() < 2 {
        return String::new();
    }
    let mut table =
        Table::new(&["  profile", ">reel", ">player", ">flash in all", ">RAM", ">mean time", ">worst time", "verdict"]);
    for fit in profiles {
        let bytes = |bytes: u32| number(f64::from(bytes), "B");
        let share = |share: f64| format!("{:.0} %", share * 100.0);
        table.row([
            format!("  {}{}", fit.profile, if fit.taken { ", taken" } else { "" }),
            bytes(fit.reel_bytes),
            bytes(fit.player_bytes),
            bytes(fit.flash_bytes),
            bytes(fit.ram_bytes),
            share(fit.mean_time_share),
            share(fit.worst_time_share),
            fit.verdict().to_owned(),
        ]);
    }
    format!("{table}\n")
}

/// Every figure of every budget with its formula and the number of its source, then the sources.
pub fn all_figures(production: &Production) -> String {
    let mut text = String::new();
    let mut sources = Sources::default();
    for budget in &production.budgets {
        let mut table = Table::new(&[budget.title, ">", "", "source", "formula"]);
        for figure in &budget.figures {
            let limit = figure.limit.map_or(String::new(), |limit| format!("of {}", number(limit, figure.unit)));
            let source = sources.number(&figure.source);
            table.row([figure.name.clone(), amount(figure), limit, source, figure.formula.clone()]);
        }
        text.push_str(&format!("{table}\n"));
    }
    format!(
        "{text}≈ is a rough figure: replace it with a measurement where it matters.\n\nSources\n\n{}",
        sources.list()
    )
}

fn amount(figure: &Figure) -> String {
    let rough = if figure.rough { "≈ " } else { "" };
    format!("{rough}{}", number(figure.value, figure.unit))
}

/// A number for the eye: whole ones in groups of three, others with as many places as matter.
fn number(value: f64, unit: &str) -> String {
    const PLACES_BELOW: f64 = 100.0;
    let text = if value.fract() == 0.0 {
        grouped(value as i64)
    } else if value.abs() < PLACES_BELOW {
        format!("{value:.2}")
    } else {
        grouped(value.round() as i64)
    };
    if unit.is_empty() { text } else { format!("{text} {unit}") }
}

fn grouped(value: i64) -> String {
    const GROUP: usize = 3;
    let digits = value.unsigned_abs().to_string();
    let first = digits.len() % GROUP;
    let mut groups: Vec<&str> = if first > 0 { vec![&digits[..first]] } else { Vec::new() };
    groups.extend((first..digits.len()).step_by(GROUP).map(|at| &digits[at..at + GROUP]));
    format!("{}{}", if value < 0 { "-" } else { "" }, groups.join(","))
}

/// How much of a limit is taken; nothing when there is no room at all.
fn bar(value: f64, limit: f64) -> String {
    if limit <= 0.0 {
        return String::new();
    }
    let share = value / limit;
    let full = (share.clamp(0.0, 1.0) * BAR_STEPS as f64).round() as usize;
    format!("{}{} {:.0} %", "█".repeat(full), "░".repeat(BAR_STEPS - full), share * 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_for_the_eye() {
        let written = [(1_234_567.0, "B"), (0.125, "ms"), (999.0, ""), (1234.56, "mAh"), (-1000.0, "B")];
        let read = written.map(|(value, unit)| number(value, unit));
        assert_eq!(read, ["1,234,567 B", "0.12 ms", "999", "1,235 mAh", "-1,000 B"]);
        assert_eq!(bar(1.0, 2.0), "██████████░░░░░░░░░░ 50 %");
    }
}
