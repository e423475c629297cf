//! Findings: what is wrong or worth knowing, where it is, and how to fix it. They are plain data and are printed in one place only.

mod excerpt;
mod finding;
mod hidden;
mod number;
mod plural;
mod quote;
mod render;
mod sources;
mod wrap;

pub use finding::{Finding, Findings, Place, Severity, Span};
pub(crate) use hidden::{is_hidden, visible};
pub(crate) use number::{moment, number, percent, with_unit};
pub(crate) use plural::number_of;
pub use render::render;
pub(crate) use render::render_within;
pub use sources::{FileId, Sources};
pub(crate) use wrap::{wrapped, wrapped_below};

/// A stage's answer: its output when nothing is an error; findings of every severity ride in the [`Findings`] given to the stage.
pub type Checked<T> = Option<T>;

/// The known name nearest to a mistyped one, when one is near enough to be meant: its Jaro–Winkler similarity is 0.75 or more, and
/// it has at most twice as many letters or begins with the mistyped one. Our own choice.
pub fn nearest<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    const NEAR_ENOUGH: f64 = 0.75;
    /// Longer ones are no slips of the pen, and would take long to compare.
    const LONGEST: usize = 64;
    let wrong = wrong.to_lowercase();
    let is_alike = |name: &str| {
        let (shorter, longer) = (name.len().min(wrong.len()), name.len().max(wrong.len()));
        longer <= LONGEST && (longer <= 2 * shorter || name.to_lowercase().starts_with(&wrong))
    };
    known
        .into_iter()
        .filter(|name| is_alike(name))
        .map(|name| (strsim::jaro_winkler(&wrong, &name.to_lowercase()), name))
        .filter(|(likeness, _)| *likeness >= NEAR_ENOUGH)
        .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(a.1)))
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_name_is_proposed_for_a_slip_or_its_beginning_but_not_for_any_short_word() {
        let fields = ["contrast", "seconds", "layers", "microcontroller"];
        assert_eq!(nearest("secnds", fields), Some("seconds"));
        assert_eq!(nearest("Micro", fields), Some("microcontroller"));
        assert_eq!(nearest("on", fields), None);
    }
}
