//! Lines broken between words, for terminals of any width.

/// Letters of the longest unit or sign that stays with the number before it.
const LONGEST_UNIT: usize = 4;

/// Breaks each line that is longer than `columns` at a space, but not between a number and its unit. The following lines are
/// indented by `hang` characters. A word that is longer than a line is not broken.
pub fn wrapped(text: &str, columns: usize, hang: usize) -> String {
    let lines: Vec<String> = text.split('\n').map(|line| broken(line, columns, hang)).collect();
    lines.join("\n")
}

/// As `wrapped`, but following lines are indented like the first one.
pub fn wrapped_below(text: &str, columns: usize) -> String {
    let indent = |line: &str| line.chars().take_while(|letter| *letter == ' ').count();
    let lines: Vec<String> = text.split('\n').map(|line| broken(line, columns, indent(line))).collect();
    lines.join("\n")
}

fn broken(line: &str, columns: usize, hang: usize) -> String {
    let letters: Vec<char> = line.chars().collect();
    let indent = letters.iter().take_while(|letter| **letter == ' ').count();
    let (mut begin, mut begun, mut text) = (0, indent, String::new());
    loop {
        let room = if begin == 0 { columns } else { columns.saturating_sub(hang) };
        let rest = &letters[begin..];
        if rest.len() <= room {
            return text + &String::from_iter(rest);
        }
        // The last space that leaves a line within the room, else the first one after it.
        let within = (begun - begin..=room).rev().find(|at| rest[*at] == ' ' && !within_amount(rest, *at));
        let Some(end) = within.or_else(|| (room.max(begun - begin)..rest.len()).find(|at| rest[*at] == ' ')) else {
            return text + &String::from_iter(rest);
        };
        text += String::from_iter(&rest[..end]).trim_end();
        let next = begin + end + rest[end..].iter().take_while(|letter| **letter == ' ').count();
        if next == letters.len() {
            return text;
        }
        text += "\n";
        text += &" ".repeat(hang);
        (begin, begun) = (next, next);
    }
}

/// Whether a space stands between a number and its unit.
fn within_amount(line: &[char], space: usize) -> bool {
    let number = space > 0 && line[space - 1].is_ascii_digit();
    let unit = line[space + 1..].iter().take_while(|letter| !letter.is_whitespace()).count();
    number && (1..=LONGEST_UNIT).contains(&unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_between_words_and_go_on_below() {
        assert_eq!(wrapped("one two three\nfour", 8, 2), "one two\n  three\nfour");
        assert_eq!(wrapped_below("  one two three", 9), "  one two\n  three");
        assert_eq!(wrapped("a  wide   gap", 8, 0), "a  wide\ngap");
        assert_eq!(wrapped("short", usize::MAX, 4), "short");
        assert_eq!(wrapped("at most 25 % of it", 10, 0), "at most\n25 % of it");
    }

    #[test]
    fn a_word_longer_than_a_line_stays_whole() {
        assert_eq!(wrapped("a https://example.invalid b", 6, 0), "a\nhttps://example.invalid\nb");
        assert_eq!(wrapped("  abcdefghi", 4, 2), "  abcdefghi");
        assert_eq!(wrapped("µµµ ééé", 3, 0), "µµµ\nééé");
    }
}
