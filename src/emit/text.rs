//! Small parts that the written languages share: bytes in rows, comments that cannot be broken.

/// Bytes in a row of an array.
const IN_A_ROW: usize = 16;

/// Bytes as `0x2A, …,` in rows, each row indented by four spaces.
pub fn byte_rows(bytes: &[u8]) -> String {
    let row = |row: &[u8]| {
        let bytes: Vec<String> = row.iter().map(|byte| format!("0x{byte:02X}")).collect();
        format!("    {},\n", bytes.join(", "))
    };
    bytes.chunks(IN_A_ROW).map(row).collect()
}

/// A person's words on one line that neither end a comment nor begin one.
pub fn comment(words: &str) -> String {
    let line: String = words.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect();
    let mut safe = line.replace("*/", "* /").replace("/*", "/ *");
    // In C, a comment that ends in a backslash continues in the next line.
    while safe.ends_with('\\') || safe.ends_with("??/") {
        safe.push('.');
    }
    safe.trim_end().to_owned()
}

/// Names in a sentence: `a`, `a and b`, `a, b and c`.
pub fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cannot_end_or_begin_a_comment() {
        assert_eq!(comment("a*/b/*c\nd\\"), "a* /b/ *c d\\.");
        assert_eq!(comment("/*/"), "/ * /");
        assert_eq!(byte_rows(&[0, 255]), "    0x00, 0xFF,\n");
    }
}
