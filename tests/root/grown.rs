//! Scripts as a person at odds with the reader would write them: values exchanged, doubled, nested and put in each other's place.

use super::chance::Chance;

/// Values that stand for others, and values at which programs stumble.
const VALUES: &[&str] = &[
    "0",
    "-1",
    "0.5",
    "255",
    "256",
    "65536",
    "1e9",
    "-1e300",
    "4294967296",
    "0x78",
    "1_000",
    "2,5",
    "true",
    "\"\"",
    "\"one\"",
    "\"a\\tb\"",
    "\"\\u{202e}x\"",
    "“x”",
    "'x'",
    "Centre",
    "Hold",
    "Back",
    "Ignore",
    "()",
    "[]",
    "{}",
    "((((1))))",
    "Go(\"one\")",
    "Go(\"nowhere\")",
    "Set(\"light\", \"night\")",
    "Count(\"light\", Go(\"one\"))",
    "By(\"light\", {\"day\": 1, \"night\": 2})",
    "By(\"light\", {\"day\": [1, 2], \"night\": []})",
    "Given(\"part\")",
    "Use(template: \"t\", part: [Given(\"part\"), Given(\"part\")])",
    "Use(template: \"t\")",
    "Include(\"helm.ron\")",
    "Include(\"parts/grow-0.ron\")",
    "Include(\"/dev/zero\")",
    "Shipped(\"cleat\")",
    "File(\"log.txt\")",
    "Frames(files: [\"strip.png\", \"strip.png\"])",
    "Keys([(0, 0), (1, 1)])",
    "Ramp(from: 0, to: 1, seconds: 1)",
    "Random(from: 0, to: 9, every: 0.1, seed: 1)",
    "Percent(50)",
    "Millimetres(3)",
    "After(\"Text 1\", 0.5)",
    "Text(text: \"A\", font: \"small\", at: Centre)",
    "Text(style: \"t\")",
    "Group(layers: [Text(text: \"A\", font: \"small\", at: Centre)])",
    "Noise(seed: 1, size: (72, 40), at: TopLeft)",
    "Scene(name: \"one\", like: \"one\")",
    "Sweep(at: Centre, radius: 500)",
];

/// Entries for the top of a script.
const TOPS: &[&str] = &[
    "modes: {\"light\": [\"day\", \"night\"]},",
    "modes: {\"light\": [\"day\", \"night\", \"dusk\"], \"sound\": [\"day\", \"on\"]},",
    "styles: {\"t\": (style: \"t\", clip: Window(at: Centre, style: \"t\"))},",
    "styles: {\"t\": (x: (style: \"s\"), y: (style: \"s\")), \"s\": (x: (style: \"t\"))},",
    "templates: {\"t\": Template(parameters: {\"part\": 1}, layers: [Use(template: \"t\"), Given(\"part\")])},",
    "templates: {\"t\": Template(parameters: {\"part\": []}, layers: Given(\"part\"))},",
    "bases: [Scene(name: \"base\", like: \"base\", layers: [])],",
    "triggers: {\"dusk\": Set(\"light\", \"night\"), \"on\": Trigger(does: Count(\"light\", Go(\"one\")), priority: 1)},",
    "profile: Lean,",
    "others: [],",
];

/// A script changed in a few places, perhaps with something new at its top.
pub fn script_of(text: &str, other: &str, chance: &mut Chance) -> String {
    let mut text = text.to_owned();
    for _ in 0..chance.below(3) {
        if let Some(at) = text.find("Show(") {
            text.insert_str(at + "Show(".len(), chance.pick(TOPS));
        }
    }
    grown(&text, other, chance)
}

/// A text changed in a few places, with values of another one.
pub fn grown(text: &str, other: &str, chance: &mut Chance) -> String {
    let mut text = text.to_owned();
    for _ in 0..=chance.below(5) {
        let (places, theirs) = (values(&text), values(other));
        if places.is_empty() || theirs.is_empty() {
            break;
        }
        let (start, end) = places[chance.below(places.len())];
        let (their_start, their_end) = theirs[chance.below(theirs.len())];
        let value = text[start..end].to_owned();
        let new = match chance.below(9) {
            0 | 1 => chance.pick(VALUES).to_owned(),
            2 => other[their_start..their_end].to_owned(),
            3 => format!("[{}]", vec![value; 1 + chance.below(40)].join(", ")),
            4 => format!("{value}, {value}"),
            5 => String::new(),
            6 => format!("{}{value}{}", "(".repeat(chance.below(80)), ")".repeat(chance.below(80))),
            7 => format!("Group(layers: [{value}, {}])", chance.pick(VALUES)),
            _ => {
                let (start, end) = places[chance.below(places.len())];
                text[start..end].to_owned()
            }
        };
        text.replace_range(start..end, &new);
        let end = (0..=LONGEST.min(text.len())).rev().find(|end| text.is_char_boundary(*end));
        text.truncate(end.unwrap_or(0));
    }
    text
}

/// Bytes of one input; mutation doubles what is doubled already.
const LONGEST: usize = 64 << 10;

/// The byte ranges of values: words, numbers and texts, and what is in brackets with the name before it.
fn values(text: &str) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut word: Option<usize> = None;
    for (at, letter) in text.char_indices() {
        let within = letter.is_alphanumeric() || matches!(letter, '_' | '.' | '-' | '"');
        match letter {
            '(' | '[' | '{' => open.push(word.take().unwrap_or(at)),
            ')' | ']' | '}' => found.extend(open.pop().map(|start| (start, at + 1))),
            _ => {}
        }
        if within {
            word.get_or_insert(at);
        } else if let Some(start) = word.take() {
            found.push((start, at));
        }
    }
    found
}
