//! The tables of figures: one for each budget, with formulas, and the numbers of their sources.

use super::finding::worded;
use crate::budget::{Budget, Figure};
use crate::diag::{percent, with_unit};
use maud::{Markup, html};

/// All budgets and the list of sources.
pub fn figures(budgets: &[Budget]) -> Markup {
    let mut sources: Vec<&str> = Vec::new();
    for figure in budgets.iter().flat_map(|budget| &budget.figures) {
        if !sources.contains(&figure.source.as_str()) {
            sources.push(&figure.source);
        }
    }
    html! {
        section #figures aria-labelledby="figures-title" {
            h2 #figures-title { "Figures" }
            p { "≈ marks an estimate: measure it where it matters." }
            div .tables tabindex="0" role="region" aria-label="Tables of figures" {
                @for budget in budgets.iter().filter(|budget| !budget.figures.is_empty()) { (table(budget, &sources)) }
            }
            h3 { "Sources" }
            ol .sources { @for source in &sources { li { (worded(source)) } } }
        }
    }
}

/// A budget's figures, folded; its first line says what its fullest limit is.
fn table(budget: &Budget, sources: &[&str]) -> Markup {
    let over = budget.figures.iter().any(Figure::over);
    html! {
        details .budget open[over] {
            summary { span .title { (budget.title) } @if let Some(figure) = headlined(budget) { " " span .headline { (figure.name) " " (figure.amount()) } } }
            table {
                thead { tr { th scope="col" { "figure" } th scope="col" .number { "value" } th scope="col" .number { "limit" }
                    th scope="col" .formula { "formula" } th scope="col" { "source" } } }
                tbody { @for group in budget.groups() { @for (at, figure) in group.iter().enumerate() {
                    tr .over[figure.over()] {
                        th scope="row" { (figure.name) }
                        td .number { (figure.amount()) }
                        td .number { @if let Some(limit) = figure.limit { (with_unit(limit, figure.unit)) } }
                        @if at == 0 {
                            td .formula rowspan=(group.len()) { (figure.formula) }
                            td rowspan=(group.len()) { @if let Some(at) = sources.iter().position(|source| *source == figure.source) { "[" (at + 1) "]" } }
                        }
                    }
                } } }
            }
        }
    }
}

/// The figure with a limit that says most of a budget, or its first headline.
fn headlined(budget: &Budget) -> Option<&Figure> {
    let limited = budget.figures.iter().filter(|figure| figure.limit.is_some_and(|limit| limit > 0.0));
    let share = |figure: &&Figure| figure.limit.map_or(0.0, |limit| figure.value / limit);
    let fullest = limited.max_by(|one, other| share(one).total_cmp(&share(other)));
    fullest.or_else(|| budget.figures.iter().find(|figure| figure.headline))
}

/// The top of the page: the main figures of each budget. Those beyond a limit are marked in words and by a sign.
pub fn headlines(budgets: &[Budget]) -> Markup {
    let shown = |budget: &&Budget| budget.figures.iter().any(|figure| figure.headline);
    html! {
        section #glance .headlines aria-label="At a glance" {
            @for budget in budgets.iter().filter(shown) {
                @let over = budget.figures.iter().any(Figure::over);
                div .card .over[over] {
                    h3 { @if over { "✖ " } (budget.title) }
                    dl { @for figure in budget.figures.iter().filter(|figure| figure.headline) { (headline(figure)) } }
                }
            }
        }
    }
}

/// This number of limits is shown next to the display.
const FULLEST: usize = 3;

/// The limits that are fullest, fullest first, each with the share of it that is used.
pub fn fullest(budgets: &[Budget]) -> Markup {
    let share = |figure: &Figure| figure.limit.filter(|limit| *limit > 0.0).map(|limit| figure.value / limit);
    let limits = |budget: &'_ Budget| budget.figures.iter().filter_map(share).fold(None, larger);
    let mut shares: Vec<(f64, &Budget)> =
        budgets.iter().filter_map(|budget| limits(budget).map(|share| (share, budget))).collect();
    shares.sort_by(|one, other| other.0.total_cmp(&one.0));
    html! {
        @if !shares.is_empty() {
            section .fullest aria-label="Fullest limits" {
                h2 { @if shares[0].0 > 1.0 { "Beyond a limit" } @else { "Within all limits" } }
                dl { @for (share, budget) in shares.iter().take(FULLEST) {
                    div .over[*share > 1.0] {
                        dt { (budget.title) }
                        dd {
                            (percent(*share))
                            meter min="0" max="1" high=(NEARLY) value=(share.min(1.0)) aria-label={"Fullest limit of " (budget.title)} {}
                        }
                    }
                } }
            }
        }
    }
}

fn larger(most: Option<f64>, share: f64) -> Option<f64> {
    Some(most.map_or(share, |most| most.max(share)))
}

fn headline(figure: &Figure) -> Markup {
    html! {
        div .over[figure.over()] {
            dt { (figure.name) }
            dd {
                (figure.amount())
                @if let Some(limit) = figure.limit {
                    span .of { " of " (with_unit(limit, figure.unit)) @if figure.over() { ": too much" } }
                    meter min="0" max=(limit) high=(limit * NEARLY) value=(figure.value.min(limit)) aria-label=(figure.name) {}
                }
            }
        }
    }
}

/// The share of a limit from which it is nearly reached.
const NEARLY: f64 = 0.9;
