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
            div .tables {
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
                tr .over[figure.over()] {
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

/// The headlines of all budgets: what stands at the top of the page.
pub fn headlines(budgets: &[Budget]) -> Markup {
    html! {
        dl .headlines {
            @for figure in budgets.iter().flat_map(|budget| &budget.figures).filter(|figure| figure.headline) {
                div .over[figure.over()] {
                    dt { (figure.name) }
                    dd {
                        (amount(figure))
                        @if let Some(limit) = figure.limit {
                            span .limit { " of " (number(limit)) }
                            @if figure.over() { strong { " too much" } }
                            meter min="0" max=(limit) value=(figure.value.min(limit)) aria-label=(figure.name) {}
                        }
                    }
                }
            }
        }
    }
}

fn amount(figure: &Figure) -> String {
    let rough = if figure.rough { "≈ " } else { "" };
    format!("{rough}{} {}", number(figure.value), figure.unit).trim_end().to_owned()
}

/// A number with three digits that matter, whole ones in full.
pub fn number(value: f64) -> String {
    const DIGITS: i32 = 3;
    if value.fract() == 0.0 {
        return format!("{value}");
    }
    let whole = value.abs().log10().floor() as i32 + 1;
    let places = (DIGITS - whole).max(0) as usize;
    format!("{value:.places$}")
}

#[cfg(test)]
mod tests {
    use super::number;

    #[test]
    fn numbers_keep_three_digits_that_matter() {
        assert_eq!([9866.0, 1234.5, 12.345, 0.01234, 0.0].map(number), ["9866", "1234", "12.3", "0.0123", "0"]);
    }
}
