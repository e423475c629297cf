//! How numbers are written for a person, in the terminal and in the report alike.

/// Digits that matter of a number that is not whole.
const DIGITS: f64 = 3.0;
/// Whole digits in a group.
const GROUP: usize = 3;

/// A whole number in full, any other with three digits that matter; thousands are set apart by commas.
pub fn number(value: f64) -> String {
    let text = digits(value + 0.0);
    let end = text.find('.').unwrap_or(text.len());
    let begin = usize::from(text.starts_with('-'));
    let mut apart = text[..begin].to_owned();
    for (at, digit) in text[begin..end].chars().enumerate() {
        if at > 0 && (end - begin - at).is_multiple_of(GROUP) {
            apart.push(',');
        }
        apart.push(digit);
    }
    apart + &text[end..]
}

/// The digits without commas. A number that is rounded up to one more whole digit, as 99.96 to 100, loses a decimal.
fn digits(value: f64) -> String {
    let places = |value: f64| {
        let whole_digits = value.abs().max(f64::MIN_POSITIVE).log10().floor() + 1.0;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to 311")]
        let places = (DIGITS - whole_digits).max(0.0) as usize;
        places
    };
    if value.fract() == 0.0 {
        return format!("{value}");
    }
    let text = format!("{value:.*}", places(value));
    let rounded: f64 = text.parse().unwrap_or(value);
    if rounded == 0.0 { text } else { format!("{value:.*}", places(rounded)) }
}

/// Units of angles, which stand at their number without a space (The International System of Units, 9th edition, §5.4.3).
const AT_THE_NUMBER: [&str; 3] = ["°", "′", "″"];

/// A number and its unit; only the number if there is no unit.
pub fn with_unit(value: f64, unit: &str) -> String {
    let space = if unit.is_empty() || AT_THE_NUMBER.contains(&unit) { "" } else { " " };
    number(value) + space + unit
}

/// A share of 1 in whole per cent.
pub fn percent(share: f64) -> String {
    with_unit((share * 100.0).round(), "%")
}

/// A moment of a show in seconds and their hundredths, as a clock shows it.
pub fn moment(seconds: f64) -> String {
    format!("{seconds:.2} s")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_three_digits_that_matter() {
        assert_eq!([9866.0, 1234.5, 12.345, 0.01234, 0.0].map(number), ["9,866", "1,234", "12.3", "0.0123", "0"]);
        assert_eq!([1_234_567.0, -10_000.4, 999.0].map(number), ["1,234,567", "-10,000", "999"]);
        assert_eq!([with_unit(1024.0, "B"), with_unit(0.125, "ms"), with_unit(3.0, "")], ["1,024 B", "0.125 ms", "3"]);
        assert_eq!(with_unit(8.941, "′"), "8.94′");
        assert_eq!([99.96, 9.996, 0.9996, 999.7, -0.0].map(number), ["100", "10.0", "1.00", "1,000", "0"]);
        assert_eq!([percent(0.4567), percent(12.0), moment(3.5)], ["46 %", "1,200 %", "3.50 s"]);
    }
}
