//! What a build came to, as a person likes to read it: the verdict, a line on the show, the headline of each budget with its limit, and
//! what each profile takes.

use super::sources::SourceList;
use super::table::TerminalTable;
use crate::budget::{Budget, Figure, ProfileFit, verdict};
use crate::build::Production;
use crate::diag::{Findings, number_of, percent, with_unit};
use crate::whole::rounded;

/// Steps of the bar that shows how much of a limit is taken.
const BAR_STEPS: usize = 10;
/// Columns of a terminal in which there is room for the bar.
const BAR_FROM: usize = 80;

/// The verdict, a few lines about the show, and the main figures of its budgets, `columns` wide.
pub fn summary(production: &Production, findings: &Findings, columns: usize) -> String {
    let (show, rehearsal) = (&production.show, &production.rehearsal);
    let rate = show.frame_rate();
    let frames: u32 = show.scenes().iter().map(|scene| scene.frames.0).sum();
    let verdict = verdict(&production.choice.fitted.fit, findings);
    let head = format!(
        "{verdict}\n\n{}: {}, {} at {} per second on {}\n",
        show.name(),
        number_of(show.scenes().len(), "scene"),
        number_of(frames as usize, "frame"),
        rate.frames_per_second(),
        show.panel().name
    );
    let seconds = rehearsal.seconds_at(show, rehearsal.shown.len());
    let profiles = profiles(&production.choice.profiles, columns);
    let truth = format!(
        "  checked with the shipped player on the simulated controller: every pixel as drawn for {}",
        with_unit(seconds.round(), "s")
    );
    let budgets = &production.budgets;
    format!("{head}\n{}\n{}\n{profiles}{truth}\n", limits(budgets, columns), others(budgets, columns))
}

/// Every figure that has a limit, the fullest first.
fn limits(budgets: &[Budget], columns: usize) -> TerminalTable {
    let limited = |budget: &'_ Budget| -> Vec<(f64, [String; 4])> {
        let row = |figure: &Figure| {
            let limit = figure.limit.filter(|limit| figure.headline && *limit > 0.0)?;
            let of = format!("of {}", with_unit(limit, figure.unit));
            let share = figure.value / limit;
            Some((share, [named(budget, figure), figure.amount(), of, bar(share, columns >= BAR_FROM)]))
        };
        budget.figures.iter().filter_map(row).collect()
    };
    let mut rows: Vec<_> = budgets.iter().flat_map(limited).collect();
    rows.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut table = TerminalTable::named(2, columns);
    rows.into_iter().for_each(|(_, row)| table.row(row));
    table
}

/// The headlines of the budgets that have no limit.
fn others(budgets: &[Budget], columns: usize) -> TerminalTable {
    let mut table = TerminalTable::named(0, columns);
    for budget in budgets {
        for figure in budget.figures.iter().filter(|figure| figure.headline && figure.limit.is_none()) {
            table.row([named(budget, figure), figure.amount()]);
        }
    }
    table
}

/// A figure's name behind its budget's, unless it begins with it.
fn named(budget: &Budget, figure: &Figure) -> String {
    let begins = figure.name.to_lowercase().starts_with(&budget.title.to_lowercase());
    if begins { format!("  {}", figure.name) } else { format!("  {}: {}", budget.title, figure.name) }
}

/// What the best reel of each profile takes; nothing where only one was made.
fn profiles(profiles: &[ProfileFit], columns: usize) -> String {
    if profiles.len() < 2 {
        return String::new();
    }
    let heads = ["  profile", ">reel", ">player", ">flash", ">RAM", ">mean", ">worst", "verdict"];
    let mut table = TerminalTable::new(&heads, columns);
    for fit in profiles {
        let bytes = |bytes: u32| with_unit(f64::from(bytes), "B");
        table.row([
            format!("  {}{}", fit.profile, if fit.taken { ", taken" } else { "" }),
            bytes(fit.reel_bytes),
            bytes(fit.player_bytes),
            bytes(fit.flash_bytes),
            bytes(fit.ram_bytes),
            percent(fit.mean_time_share),
            percent(fit.worst_time_share),
            fit.verdict().to_owned(),
        ]);
    }
    format!("{table}\n")
}

/// Every figure of every budget, below those of a formula the formula with the number of its source; then the sources.
pub fn all_figures(production: &Production, columns: usize) -> String {
    let mut text = String::new();
    let mut sources = SourceList::default();
    for budget in &production.budgets {
        let mut table = TerminalTable::new(&[budget.title, ">", ""], columns);
        for group in budget.groups() {
            for figure in group {
                let limit = figure.limit.map_or(String::new(), |limit| format!("of {}", with_unit(limit, figure.unit)));
                table.row([format!("  {}", figure.name), figure.amount(), limit]);
            }
            table.note(format!("{} {}", group[0].formula, sources.number(&group[0].source)));
        }
        text.push_str(&format!("{table}\n"));
    }
    format!("{text}≈ marks an estimate: measure it where it matters.\n\nSources\n\n{}", sources.list(columns))
}

/// How much of a limit is taken, with a bar or without.
fn bar(share: f64, drawn: bool) -> String {
    let full: usize = rounded(share.clamp(0.0, 1.0) * BAR_STEPS as f64);
    let steps =
        if drawn { format!("{}{} ", "█".repeat(full), "░".repeat(BAR_STEPS - full)) } else { String::new() };
    format!("{steps}{:>5}", percent(share))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_shows_the_share_of_a_limit() {
        assert_eq!(
            [bar(0.5, true), bar(1.2, true), bar(0.5, false)],
            ["█████░░░░░  50 %", "██████████ 120 %", " 50 %"]
        );
    }
}
