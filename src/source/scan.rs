//! Scans a RON text before it is parsed, for faults that the parser would report in its own words: brackets that nest too deeply,
//! and quotes from a word processor.

use std::iter::Peekable;
use std::str::CharIndices;

/// Brackets within brackets of one file; people write some 20.
const DEEPEST: usize = 64;
/// Quotes of word processors.
const CURLY: &[char] = &['“', '”', '„', '‟', '‘', '’', '«', '»', '″'];

/// A byte range of the text, what is wrong there, and how to fix it.
pub type ScanFault = ((usize, usize), String, String);

/// The first fault outside of texts and comments.
pub fn scan(text: &str) -> Option<ScanFault> {
    let mut letters = text.char_indices().peekable();
    let mut depth = 0usize;
    while let Some((at, letter)) = letters.next() {
        match letter {
            '"' => skip_text(&mut letters),
            'r' if !within_word(text, at) => skip_raw_text(&mut letters),
            '\'' => skip_letter(&mut letters),
            '/' => skip_comment(&mut letters),
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth = depth.saturating_sub(1),
            _ if CURLY.contains(&letter) => {
                let message = format!("`{letter}` is a typographic quote; scripts use straight quotes");
                return Some(((at, at + letter.len_utf8()), message, "write \" instead".into()));
            }
            _ => {}
        }
        if depth > DEEPEST {
            let hint = "look for a bracket that is not closed, or split the script".into();
            return Some(((at, at + 1), format!("brackets are nested more than {DEEPEST} levels deep here"), hint));
        }
    }
    None
}

type Letters<'a> = Peekable<CharIndices<'a>>;

fn within_word(text: &str, at: usize) -> bool {
    text[..at].chars().next_back().is_some_and(|before| before.is_alphanumeric() || before == '_')
}

fn skip_text(letters: &mut Letters<'_>) {
    while let Some((_, letter)) = letters.next() {
        match letter {
            '\\' => drop(letters.next()),
            '"' => return,
            _ => {}
        }
    }
}

/// Skips `r"…"` or `r#"…"#`, the `r` taken already; anything else is left.
fn skip_raw_text(letters: &mut Letters<'_>) {
    let mut hashes = 0;
    while letters.next_if(|(_, letter)| *letter == '#').is_some() {
        hashes += 1;
    }
    if letters.next_if(|(_, letter)| *letter == '"').is_none() {
        return;
    }
    // The hashes seen since the last quote; none before the first one.
    let mut closing: Option<usize> = None;
    for (_, letter) in letters {
        closing = match letter {
            '"' => Some(0),
            '#' => closing.map(|seen| seen + 1),
            _ => None,
        };
        if closing == Some(hashes) {
            return;
        }
    }
}

fn skip_letter(letters: &mut Letters<'_>) {
    if let Some((_, '\\')) = letters.next() {
        letters.next();
    }
    letters.next_if(|(_, letter)| *letter == '\'');
}

/// Skips a comment, its first `/` taken already; block comments nest.
fn skip_comment(letters: &mut Letters<'_>) {
    if letters.next_if(|(_, letter)| *letter == '/').is_some() {
        letters.find(|(_, letter)| *letter == '\n');
        return;
    }
    if letters.next_if(|(_, letter)| *letter == '*').is_none() {
        return;
    }
    let mut open = 1;
    while let Some((_, letter)) = letters.next() {
        if letter == '*' && letters.next_if(|(_, letter)| *letter == '/').is_some() {
            open -= 1;
        } else if letter == '/' && letters.next_if(|(_, letter)| *letter == '*').is_some() {
            open += 1;
        }
        if open == 0 {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::scan;

    #[test]
    fn what_stands_in_texts_and_comments_is_not_looked_at() {
        let deep = "(".repeat(100);
        for sound in [
            format!("\"{deep}\\\"“\""),
            format!("r#\"{deep}\"“\"#"),
            format!("// {deep}“\n(1)"),
            format!("/* {deep} /* “ */ ” */ (1)"),
            "[',', '(', '\\'', '“']".into(),
        ] {
            assert_eq!(scan(&sound), None, "{sound}");
        }
        assert!(scan(&deep).is_some_and(|((at, _), ..)| at == 64));
        assert!(scan("(name: “a”)").is_some_and(|((at, end), ..)| (at, end) == (7, 10)));
    }
}
