//! What a text is made of: characters, and named icons written `{anchor}`.

use std::fmt;

/// One element of a text, and the key by which a font finds a glyph.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Symbol {
    /// A Unicode character.
    Char(char),
    /// An icon by its name, written `{name}` in a text.
    Name(String),
}

impl Symbol {
    /// The symbol meant by an entry of a sheet: a single character is itself, anything longer is a name.
    pub fn from_entry(entry: &str) -> Option<Self> {
        let mut letters = entry.chars();
        match (letters.next(), letters.next()) {
            (Some(only), None) => Some(Symbol::Char(only)),
            (Some(_), Some(_)) if is_name(entry) => Some(Symbol::Name(entry.to_owned())),
            _ => None,
        }
    }

    /// The symbol as it is written in a text: `{anchor}` for an icon, a doubled brace for a brace.
    pub fn written(&self) -> String {
        match self {
            Symbol::Char('{') => "{{".into(),
            Symbol::Char(letter) => letter.to_string(),
            Symbol::Name(name) => format!("{{{name}}}"),
        }
    }

    /// The character, if it is one.
    pub fn char(&self) -> Option<char> {
        match self {
            Symbol::Char(letter) => Some(*letter),
            Symbol::Name(_) => None,
        }
    }
}

impl From<char> for Symbol {
    fn from(letter: char) -> Self {
        Symbol::Char(letter)
    }
}

impl Symbol {
    /// The symbol as `--for` takes it: letters and digits as they are, other characters by their code.
    pub fn as_argument(&self) -> String {
        match self {
            Symbol::Char(letter) if letter.is_alphanumeric() => letter.to_string(),
            Symbol::Char(letter) => format!("U+{:04X}", u32::from(*letter)),
            Symbol::Name(name) => format!("{{{name}}}"),
        }
    }
}

/// The character or `{name}` in quotes, for messages; characters that cannot be seen are given by their code.
impl fmt::Display for Symbol {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Symbol::Char(letter) if letter.is_control() || (letter.is_whitespace() && *letter != ' ') => {
                write!(f, "U+{:04X}", u32::from(*letter))
            }
            Symbol::Char(letter) if is_unseen(*letter) => {
                write!(f, "U+{:04X} ({})", u32::from(*letter), super::names::name(self))
            }
            Symbol::Char(letter) => write!(f, "`{letter}`"),
            Symbol::Name(name) => write!(f, "`{{{name}}}`"),
        }
    }
}

/// Whether a character cannot be seen when it stands alone: marks that combine with the letter before them (by their name in
/// the Unicode Character Database), and the invisible ones among General Punctuation, variation selectors, the byte order mark.
fn is_unseen(letter: char) -> bool {
    let invisible = matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}');
    let selector = matches!(letter, '\u{fe00}'..='\u{fe0f}' | '\u{feff}');
    let combining = !letter.is_ascii() && super::names::name(&Symbol::Char(letter)).starts_with("COMBINING ");
    invisible || selector || combining
}

/// Whether a word can name an icon: two or more of a–z, 0–9 and `-`, a letter first.
pub fn is_name(word: &str) -> bool {
    word.len() >= 2
        && word.starts_with(|first: char| first.is_ascii_lowercase())
        && word.chars().all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-')
}

/// Takes a text apart: `{name}` is an icon, `{{` a brace, everything else is literal.
pub fn symbols(text: &str) -> Vec<Symbol> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let after = &rest[first.len_utf8()..];
        if first == '{' {
            if let Some(tail) = after.strip_prefix('{') {
                found.push(Symbol::Char('{'));
                rest = tail;
                continue;
            }
            if let Some((name, tail)) = after.split_once('}').filter(|(name, _)| is_name(name)) {
                found.push(Symbol::Name(name.to_owned()));
                rest = tail;
                continue;
            }
        }
        found.push(Symbol::Char(first));
        rest = after;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Codes and names from the Unicode Character Database.
    #[test]
    fn what_cannot_be_seen_is_told_by_code_and_name() {
        let written = |letter: char| Symbol::Char(letter).to_string();
        assert_eq!((written('é').as_str(), written('\t').as_str()), ("`é`", "U+0009"));
        assert_eq!(written('\u{301}'), "U+0301 (COMBINING ACUTE ACCENT)");
        assert_eq!(written('\u{fe0f}'), "U+FE0F (VARIATION SELECTOR-16)");
        assert_eq!(written('\u{200b}'), "U+200B (ZERO WIDTH SPACE)");
    }

    #[test]
    fn names_stand_in_braces_and_a_doubled_brace_is_a_brace() {
        let name = |word: &str| Symbol::Name(word.into());
        assert_eq!(symbols("a{anchor}b"), ['a'.into(), name("anchor"), 'b'.into()]);
        assert_eq!(symbols("{{x}"), ['{'.into(), 'x'.into(), '}'.into()]);
        assert_eq!(symbols("{A}"), ['{'.into(), 'A'.into(), '}'.into()]);
        assert_eq!(symbols("{"), ['{'.into()]);
        assert_eq!(symbols("{{anchor}}").len(), 9);
        assert_eq!(symbols("°{battery-low}"), ['°'.into(), name("battery-low")]);
    }
}
