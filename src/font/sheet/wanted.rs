//! Which characters a sheet is to hold, as a person writes it: `A-Z 0-9 .,:; U+0410-U+042F {anchor}`.

use crate::font::{Symbol, symbols};
use std::collections::BTreeSet;

/// The most characters of one sheet that is made here.
const MOST: usize = 4096;

/// The characters and names meant by words parted by white space: `X-Y` and `U+XXXX-U+YYYY` are ranges, `U+XXXX` is one
/// character, anything else is read as single characters and `{names}`. Each is given once, in the order of writing;
/// `Err` says what cannot be meant.
pub fn wanted(text: &str) -> Result<Vec<Symbol>, String> {
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for word in text.split_whitespace() {
        for symbol in word_symbols(word)? {
            if seen.insert(symbol.clone()) {
                found.push(symbol);
            }
            if found.len() > MOST {
                return Err(format!("more than {MOST} characters are asked for; make several sheets"));
            }
        }
    }
    if found.is_empty() {
        return Err("no characters are asked for; write for example A-Z 0-9 .,:;".into());
    }
    Ok(found)
}

fn word_symbols(word: &str) -> Result<Vec<Symbol>, String> {
    let ends: Vec<&str> = word.splitn(2, '-').collect();
    if let [first, last] = ends[..]
        && let (Some(first), Some(last)) = (end_of_range(first), end_of_range(last))
    {
        if first > last {
            return Err(format!("the range {word} runs backwards"));
        }
        if last as usize - first as usize >= MOST {
            return Err(format!("the range {word} has more than {MOST} characters"));
        }
        return Ok((first..=last).filter(|letter| drawable(*letter)).map(Symbol::Char).collect());
    }
    if word.starts_with("U+") && word.len() > 2 {
        let letter = code(word).ok_or_else(|| format!("{word} is not the code of a character"))?;
        return Ok(vec![Symbol::Char(letter)]);
    }
    Ok(symbols(word))
}

fn end_of_range(end: &str) -> Option<char> {
    let mut letters = end.chars();
    match (letters.next(), letters.next()) {
        (Some(only), None) => Some(only),
        _ => code(end),
    }
}

fn code(word: &str) -> Option<char> {
    let digits = word.strip_prefix("U+").filter(|digits| !digits.starts_with('+'))?;
    u32::from_str_radix(digits, 16).ok().and_then(char::from_u32)
}

fn drawable(letter: char) -> bool {
    !letter.is_control() && !letter.is_whitespace()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letters(text: &str) -> String {
        wanted(text).expect(text).iter().filter_map(Symbol::char).collect()
    }

    #[test]
    fn ranges_codes_names_and_plain_characters_are_understood() {
        assert_eq!(letters("A-C 0-2 .,- -"), "ABC012.,-");
        assert_eq!(letters("U+0041-U+0043 U+00B0 BAD"), "ABC°D");
        assert_eq!(wanted("{anchor}A").map(|found| found.len()), Ok(2));
        for wrong in ["", "Z-A", "U+D800", "U+0-U+FFFF", "U+x"] {
            assert!(wanted(wrong).is_err(), "{wrong}");
        }
    }
}
