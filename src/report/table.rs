//! The tables of figures: one for each budget, with formulas, and the numbers of their sources.

use crate::budget::{Budget, Figure};
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
            p { "≈ is a rough figure: replace it with a measurement where it matters." }
            div .tables tabindex="0" role="region" aria-label="Tables of figures" {
                @for budget in budgets.iter().filter(|budget| !budget.figures.is_empty()) { (table(budget, &sources)) }
            }
            h3 { "Sources" }
            ol .sources { @for source in &sources { li { (source) } } }
        }
    }
}

fn table(budget: &Budget, sources: &[&str]) -> Markup {
    html! {
        table {
            caption { (budget.title) }
            thead { tr { th scope="col" { "figure" } th scope="col" .number { "value" } th scope="col" .number { "limit" }
                th scope="col" .formula { "formula" } th scope="col" { "source" } } }
            tbody { @for figure in &budget.figures {
                tr .over[figure.over()] .detail[figure.detail && !figure.over()] {
                    th scope="row" { (figure.name) }
                    td .number { (amount(figure)) }
                    td .number { @if let Some(limit) = figure.limit { (number(limit)) " " (figure.unit) } }
                    td .formula { (figure.formula) }
                    td { @if let Some(at) = sources.iter().position(|source| *source == figure.source) { "[" (at + 1) "]" } }
                }
            } }
        }
    }
}

/// What stands at the top of the page: for each budget its headlines, those beyond a limit marked in words and by a sign.
pub fn headlines(budgets: &[Budget]) -> Markup {
    let told = |budget: &&Budget| budget.figures.iter().any(|figure| figure.headline);
    html! {
        section .headlines aria-label="At a glance" {
            @for budget in budgets.iter().filter(told) {
                @let over = budget.figures.iter().any(Figure::over);
                div .card .over[over] {
                    h3 { @if over { "✖ " } (budget.title) }
                    dl { @for figure in budget.figures.iter().filter(|figure| figure.headline) { (headline(figure)) } }
                }
            }
        }
    }
}

/// So many limits stand beside the glass.
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
                            (format!("{:.0} %", share * 100.0))
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
                (amount(figure))
                @if let Some(limit) = figure.limit {
                    span .of { " of " (number(limit)) @if figure.over() { ": too much" } }
                    meter min="0" max=(limit) high=(limit * NEARLY) value=(figure.value.min(limit)) aria-label=(figure.name) {}
                }
            }
        }
    }
}

/// The share of a limit from which it is nearly reached.
const NEARLY: f64 = 0.9;

fn amount(figure: &Figure) -> String {
    let rough = if figure.rough { "≈ " } else { "" };
    format!("{rough}{} {}", number(figure.value), figure.unit).trim_end().to_owned()
}

/// A number with three digits that matter, whole ones in full, thousands apart.
pub fn number(value: f64) -> String {
    const DIGITS: i32 = 3;
    let whole_digits = value.abs().max(f64::MIN_POSITIVE).log10().floor() as i32 + 1;
    let places = if value.fract() == 0.0 { 0 } else { (DIGITS - whole_digits).max(0) as usize };
    let text = format!("{value:.places$}");
    let end = text.find('.').unwrap_or(text.len());
    let digits = text[..end].trim_start_matches('-').len();
    if digits <= DIGITS as usize + 1 {
        return text;
    }
    let begin = end - digits;
    let mut apart = text[..begin].to_owned();
    for (at, digit) in text[begin..end].chars().enumerate() {
        if at > 0 && (digits - at) % 3 == 0 {
            apart.push(',');
        }
        apart.push(digit);
    }
    apart + &text[end..]
}

#[cfg(test)]
mod tests {
    use super::number;

    #[test]
    fn numbers_keep_three_digits_that_matter() {
        assert_eq!([9866.0, 1234.5, 12.345, 0.01234, 0.0].map(number), ["9866", "1234", "12.3", "0.0123", "0"]);
        assert_eq!([1_234_567.0, -10_000.4, 100_000.0].map(number), ["1,234,567", "-10,000", "100,000"]);
    }
}
