//! How numbers are written for a person, in the terminal and in the report alike.

/// Digits that matter of a number that is not whole.
const DIGITS: i32 = 3;
/// Whole digits in a group.
const GROUP: usize = 3;

/// A whole number in full, any other with three digits that matter; thousands are set apart by commas.
pub fn number(value: f64) -> String {
    let whole_digits = value.abs().max(f64::MIN_POSITIVE).log10().floor() as i32 + 1;
    let places = if value.fract() == 0.0 { 0 } else { (DIGITS - whole_digits).max(0) as usize };
    let text = format!("{value:.places$}");
    let end = text.find('.').unwrap_or(text.len());
    let begin = usize::from(text.starts_with('-'));
    let mut apart = text[..begin].to_owned();
    for (at, digit) in text[begin..end].chars().enumerate() {
        if at > 0 && (end - begin - at) % GROUP == 0 {
            apart.push(',');
        }
        apart.push(digit);
    }
    apart + &text[end..]
}

/// A number with its unit behind it; a number alone where there is no unit.
pub fn with_unit(value: f64, unit: &str) -> String {
    format!("{} {unit}", number(value)).trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_three_digits_that_matter() {
        assert_eq!([9866.0, 1234.5, 12.345, 0.01234, 0.0].map(number), ["9,866", "1,234", "12.3", "0.0123", "0"]);
        assert_eq!([1_234_567.0, -10_000.4, 999.0].map(number), ["1,234,567", "-10,000", "999"]);
        assert_eq!([with_unit(1024.0, "B"), with_unit(0.125, "ms"), with_unit(3.0, "")], ["1,024 B", "0.125 ms", "3"]);
    }
}
