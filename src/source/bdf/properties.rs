//! The properties of a BDF file: between `STARTPROPERTIES n` and `ENDPROPERTIES`, a name and a number or quoted text each.

use super::Property;
use super::lines::{BdfLine, BdfLines};
use crate::diag::{Finding, Findings};
use crate::source::Placed;

/// Reads all properties after the line that opens them.
pub fn read(
    opening: BdfLine<'_>,
    lines: &mut BdfLines<'_>,
    findings: &mut Findings,
) -> Vec<(String, Placed<Property>)> {
    let said = opening.numbers::<1>("the number of properties", findings);
    let mut properties = Vec::new();
    loop {
        match lines.peek() {
            Some(line) if line.keyword() == "ENDPROPERTIES" => {
                lines.next();
                break;
            }
            Some(line) if !["CHARS", "STARTCHAR", "ENDFONT"].contains(&line.keyword()) => {
                lines.next();
                properties.extend(property(line, findings));
            }
            next => {
                let finding = Finding::error(opening.span(), "the properties have no ENDPROPERTIES");
                let finding = finding.hint("write ENDPROPERTIES on a line after the last one");
                findings.push(match next {
                    Some(line) => finding.also(line.span(), "it belongs before this line"),
                    None => finding,
                });
                return properties;
            }
        }
    }
    if let Some([said]) = said
        && usize::try_from(said) != Ok(properties.len())
    {
        let message = format!("STARTPROPERTIES says {said}, there are {}", properties.len());
        findings.push(
            Finding::warning(opening.span(), message).hint(format!("write STARTPROPERTIES {}", properties.len())),
        );
    }
    properties
}

fn property(line: BdfLine<'_>, findings: &mut Findings) -> Option<(String, Placed<Property>)> {
    let (rest, span) = line.rest();
    let quoted = rest.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    let value = match (quoted, rest.parse()) {
        (Some(text), _) => Property::Text(text.replace("\"\"", "\"")),
        (None, Ok(number)) => Property::Number(number),
        _ => {
            let message = format!("the property {} is neither a whole number nor a text in quotes", line.keyword());
            findings.push(Finding::warning(line.span(), message).hint("it is left out"));
            return None;
        }
    };
    Some((line.keyword().to_owned(), Placed { value, span }))
}
