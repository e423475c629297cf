//! What a layer or a live field writes in its font, read from the script's tree alone: its texts, and every digit that it can show.

use super::script::{number, quoted};
use crate::diag::Findings;
use crate::source::{Node, Reader, Shape};

const DIGITS: &str = "0123456789";

/// The lines of an element of a script; none for what writes nothing.
pub fn written(node: &Node, reader: &mut Reader<'_>, findings: &mut Findings) -> Vec<String> {
    let text = |name: &str| node.field(name).and_then(quoted).unwrap_or_default();
    match node.head() {
        Some("Counter") => {
            let sign = if node.field("value").is_some_and(can_be_negative) { "-" } else { "" };
            let has_point = node.field("decimals").and_then(number).is_some_and(|decimals| decimals > 0.0);
            let point = if has_point { "." } else { "" };
            vec![format!("{}{sign}{DIGITS}{point}{}", text("before"), text("after"))]
        }
        Some("Odometer") => vec![DIGITS.to_owned()],
        Some("Status") => {
            let words = node.field("words").map_or(&[][..], Node::items);
            words.iter().filter_map(|word| quoted(word.items().get(1)?)).collect()
        }
        Some("Countdown") => {
            let mark = match node.field("form").and_then(Node::head) {
                Some("Seconds") => "",
                Some("Tenths") => ".",
                _ => ":",
            };
            vec![format!("{DIGITS}{mark}")]
        }
        Some("Field") => {
            let samples = node.field("samples").map_or(&[][..], Node::items);
            let samples = samples.iter().filter_map(|sample| quoted(sample.items().get(1)?));
            samples.chain([text("characters")]).collect()
        }
        _ => node.field("text").map_or(Vec::new(), |text| lines(text, reader, findings)),
    }
}

/// Whether a number below zero stands in a value.
fn can_be_negative(value: &Node) -> bool {
    match &value.shape {
        Shape::Record(_, fields) => fields.iter().any(|(.., value)| can_be_negative(value)),
        _ => number(value).is_some_and(|number| number < 0.0) || value.items().iter().any(can_be_negative),
    }
}

fn lines(node: &Node, reader: &mut Reader<'_>, findings: &mut Findings) -> Vec<String> {
    let split = |text: String| text.lines().map(str::to_owned).collect::<Vec<_>>();
    match (&node.shape, node.head(), node.items()) {
        (Shape::Text(text), ..) => split(text.clone()),
        (Shape::List(items), ..) => items.iter().filter_map(quoted).flat_map(split).collect(),
        (_, Some("File"), [named]) => {
            let path = quoted(named).map(|name| reader.beside(named.span, &name));
            let read = path.and_then(|path| reader.text(&path, named.span.into(), findings));
            read.map_or(Vec::new(), |(_, text)| split(text))
        }
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;
    use crate::source::{FilesInMemory, parse};

    #[test]
    fn everything_that_can_be_shown_is_written() {
        for (element, lines) in [
            (r#"Text(text: "AB", font: "f")"#, &["AB"][..]),
            (r#"Text(text: ["A", "B\nC"], font: "f")"#, &["A", "B", "C"]),
            (r#"Counter(value: 3, before: "T ", after: " m", font: "f")"#, &["T 0123456789 m"]),
            (r#"Counter(value: Ramp(from: -2, to: 3), decimals: 1, font: "f")"#, &["-0123456789."]),
            (r#"Status(value: 3, words: [(0, "LOW"), (9, "OK")], font: "f")"#, &["LOW", "OK"]),
            (r#"Odometer(value: 3, font: "f")"#, &["0123456789"]),
            (r#"Countdown(seconds: 9, font: "f")"#, &["0123456789:"]),
            (r#"Countdown(seconds: 9, font: "f", form: Seconds)"#, &["0123456789"]),
            (r#"Field(characters: "01V", font: "f", samples: [(0, "1 V"), (2, "0 V")])"#, &["1 V", "0 V", "01V"]),
            (r#"Circle(radius: 3)"#, &[]),
        ] {
            let (files, mut findings) = (FilesInMemory::default(), Findings::default());
            let node = parse(element, Sources::default().add("", ""), &mut findings).expect("RON");
            assert_eq!(written(&node, &mut Reader::new(&files), &mut findings), lines, "{element}");
        }
    }
}
