//! A figure of a budget: the number, its limit, the formula and source it comes from, and whether it is rough.

use crate::diag::with_unit;
use crate::panel::CompanionCode;
use serde::Serialize;

/// One number that a person can check.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// What it is, in a few words.
    pub name: String,
    /// The value, in its unit.
    pub value: f64,
    /// The unit; empty if there is none.
    pub unit: &'static str,
    /// The largest allowed value, if there is a limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<f64>,
    /// How it was computed.
    pub formula: String,
    /// Where the rule and its constants come from.
    pub source: String,
    /// A figure that the person should replace with a measurement.
    pub rough: bool,
    /// Whether it is in the summary of a build; figures with a limit always are.
    pub headline: bool,
    /// Whether it is about a single layer, text or scene. Short tables leave it out.
    #[serde(skip)]
    pub detail: bool,
}

impl Figure {
    /// A figure without a limit.
    pub fn new(name: impl Into<String>, value: f64, unit: &'static str) -> Self {
        let (formula, source) = (String::new(), String::new());
        Self {
            name: name.into(),
            value,
            unit,
            limit: None,
            formula,
            source,
            rough: false,
            headline: false,
            detail: false,
        }
    }
    /// Bytes of code in addition to the player. An estimate if they were not measured on such a microcontroller.
    pub fn of_code(name: &str, bytes: u32, code: &CompanionCode) -> Self {
        let figure = Self::new(name, f64::from(bytes), "B").from("code size, C", code.source);
        if code.measured { figure } else { figure.rough() }
    }
    /// The value with its unit. Estimates are marked with ≈.
    pub fn amount(&self) -> String {
        format!("{}{}", if self.rough { "≈ " } else { "" }, with_unit(self.value, self.unit))
    }
    /// The same with a limit.
    pub fn limit(self, limit: f64) -> Self {
        Self { limit: Some(limit), headline: true, ..self }
    }
    /// The same with its formula and source.
    pub fn from(self, formula: impl Into<String>, source: impl Into<String>) -> Self {
        Self { formula: formula.into(), source: source.into(), ..self }
    }
    /// The same, marked as rough.
    pub fn rough(self) -> Self {
        Self { rough: true, ..self }
    }
    /// The same, shown in the summary of a build.
    pub fn headline(self) -> Self {
        Self { headline: true, ..self }
    }
    /// The same, marked as a detail.
    pub fn detail(self) -> Self {
        Self { detail: true, ..self }
    }
    /// Whether it is beyond its limit.
    pub fn over(&self) -> bool {
        self.limit.is_some_and(|limit| self.value > limit)
    }
}

/// The figures of one budget under its title.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Budget {
    /// The title as it is printed.
    pub title: &'static str,
    /// The figures, in the order in which they are printed.
    pub figures: Vec<Figure>,
}

impl Budget {
    /// Its figures in groups: those that follow one another with the same formula and source.
    pub fn groups(&self) -> impl Iterator<Item = &[Figure]> {
        self.figures.chunk_by(|one, next| one.formula == next.formula && one.source == next.source)
    }
}
