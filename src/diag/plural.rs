//! Counts with their nouns, for messages.

use super::number::number;

/// A count with its noun in the right number: `1 pixel`, `3 pixels`. The plural adds an `s`.
pub fn number_of(count: usize, noun: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{} {noun}{ending}", number(count as f64))
}

#[cfg(test)]
mod tests {
    use super::number_of;

    #[test]
    fn one_has_no_ending() {
        assert_eq!([0, 1, 2].map(|count| number_of(count, "pixel")), ["0 pixels", "1 pixel", "2 pixels"]);
    }
}
