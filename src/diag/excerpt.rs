//! A text whose long lines are cut around the places that a message points to, so that quoted lines fit the terminal.

use std::ops::Range;

/// What takes the place of a cut.
const ELLIPSIS: &str = "…";

/// A text with shortened lines, and the new positions of its places.
pub struct Excerpt {
    pub text: String,
    /// For each place that was asked for, in their order.
    pub places: Vec<Range<usize>>,
}

/// A part of the text that was kept: where it began, and where it is now.
struct KeptPart {
    from: Range<usize>,
    to: usize,
}

impl Excerpt {
    /// Shortens all lines to at most `letters` characters, including `…`. A longer line keeps the characters around its first
    /// place, or its beginning if it has none. Places are byte ranges of the text.
    pub fn new(text: &str, places: &[Range<usize>], letters: usize) -> Self {
        let (mut cut, mut kept, mut begin) = (String::new(), Vec::new(), 0);
        for line in text.split_inclusive('\n') {
            let range = begin..begin + line.trim_end_matches(['\n', '\r']).len();
            let part = part(text, &range, places, letters);
            cut.push_str(if part.start > range.start { ELLIPSIS } else { "" });
            kept.push(KeptPart { from: part.clone(), to: cut.len() });
            cut.push_str(&text[part.clone()]);
            cut.push_str(if part.end < range.end { ELLIPSIS } else { "" });
            cut.push_str(&text[range.end..begin + line.len()]);
            begin += line.len();
        }
        // A place may lie behind the last line break.
        if text.ends_with('\n') {
            kept.push(KeptPart { from: begin..begin, to: cut.len() });
        }
        let moved = |place: &Range<usize>| moved(&kept, place.start)..moved(&kept, place.end);
        Self { places: places.iter().map(moved).collect(), text: cut }
    }
}

/// The part of a line that is kept.
fn part(text: &str, line: &Range<usize>, places: &[Range<usize>], letters: usize) -> Range<usize> {
    let starts: Vec<usize> = text[line.clone()].char_indices().map(|(at, _)| line.start + at).collect();
    if starts.len() <= letters {
        return line.clone();
    }
    // Two characters are left for the ellipses; the place stands a third of a line in, so that it is read with what is before it.
    let room = letters.saturating_sub(2).max(1);
    let first = places.iter().flat_map(|place| [place.start, place.end]).find(|at| line.contains(at));
    let place = first.map_or(0, |at| starts.partition_point(|start| *start < at));
    let begin = place.saturating_sub(room / 3).min(starts.len() - room);
    starts[begin]..starts.get(begin + room).copied().unwrap_or(line.end)
}

/// Where a byte of the text is now; what was cut away is at the cut.
fn moved(kept: &[KeptPart], at: usize) -> usize {
    let before = kept.partition_point(|part| part.from.start <= at);
    let Some(part) = before.checked_sub(1).map(|last| &kept[last]) else { return 0 };
    // Line breaks are kept too, so a place may lie as far behind the part as the line's end.
    part.to + at.min(part.from.end) - part.from.start
}

#[cfg(test)]
mod tests {
    use super::*;

    fn excerpt(text: &str, place: Range<usize>, letters: usize) -> (String, String) {
        let Excerpt { text, places } = Excerpt::new(text, &[place], letters);
        (text.clone(), text[places[0].clone()].to_owned())
    }

    #[test]
    fn a_long_line_is_cut_around_its_place() {
        let line = "0123456789abcdefghijklmnopqrstuvwxyz";
        assert_eq!(excerpt(line, 20..22, 12), ("…hijklmnopq…".into(), "kl".into()));
        assert_eq!(excerpt(line, 0..2, 12), ("0123456789…".into(), "01".into()));
        assert_eq!(excerpt(line, 34..36, 12), ("…qrstuvwxyz".into(), "yz".into()));
        assert_eq!(excerpt(line, 20..36, 12).1, "klmnopq", "what is marked ends with the cut");
        assert_eq!(excerpt(line, 3..4, 99), (line.into(), "3".into()));
    }

    #[test]
    fn other_lines_stay_and_places_in_them_move() {
        let (text, marked) = excerpt("ééééééééééééé\nshort\n", 27..32, 6);
        assert_eq!((text.as_str(), marked.as_str()), ("éééé…\nshort\n", "short"));
    }

    proptest::proptest! {
        #[test]
        fn no_line_is_longer_and_every_place_is_in_the_text(
            text in "[aé\n]{0,80}", start in 0usize..90, length in 0usize..30, letters in 3usize..20,
        ) {
            let floor = |at: usize| (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
            let place = floor(start)..floor(start + length);
            let excerpt = Excerpt::new(&text, std::slice::from_ref(&place), letters);
            proptest::prop_assert!(excerpt.text.lines().all(|line| line.chars().count() <= letters));
            proptest::prop_assert_eq!(excerpt.text.lines().count(), text.lines().count());
            let found = &excerpt.places[0];
            proptest::prop_assert!(excerpt.text.get(found.clone()).is_some(), "{:?} of {:?}", found, excerpt.text);
            let line_of = |text: &str, at: usize| text[..at].matches('\n').count();
            proptest::prop_assert_eq!(line_of(&excerpt.text, found.start), line_of(&text, place.start));
        }
    }
}
