//! Reads a value change dump (IEEE 1364, the four-state form). Tokens are recognised by position, so that identifiers can begin
//! with any character.

use super::trace::{MOST_LINES, Trace};
use std::collections::BTreeMap;

/// Whether a text begins as a value change dump does: with a section.
pub fn is_vcd(text: &str) -> bool {
    let first = text.split_whitespace().next().unwrap_or_default();
    ["$date", "$version", "$timescale", "$comment", "$scope", "$var", "$enddefinitions"].contains(&first)
}

/// The lines of a variable: the bit of its lowest one, and how many there are.
#[derive(Clone, Copy)]
struct Variable {
    lowest: usize,
    bits: usize,
}

struct VcdHeader<'t> {
    picoseconds: f64,
    names: Vec<String>,
    variables: BTreeMap<&'t str, Variable>,
}

/// Reads a dump.
///
/// # Errors
/// Says in words what is wrong.
pub fn read(text: &str) -> Result<Trace, String> {
    let mut tokens = text.split_whitespace();
    let header = header(&mut tokens)?;
    if header.names.is_empty() {
        return Err("it declares no wires ($var)".into());
    }
    let mut trace = Trace::new(header.names);
    // Lines count as high until the capture gives their level.
    let (mut levels, mut time, mut first) = (u64::MAX, 0u64, None);
    while let Some(token) = tokens.next() {
        let (sign, rest) = token.split_at(token.chars().next().map_or(0, char::len_utf8));
        match sign {
            "#" => {
                trace.push(time, levels);
                let count: f64 = rest.parse().map_err(|_| format!("`{token}` is not a time"))?;
                let start = *first.get_or_insert(count);
                time = crate::whole::rounded((count - start) * header.picoseconds);
            }
            "0" | "1" | "x" | "X" | "z" | "Z" => set(&mut levels, header.variables.get(rest), sign),
            "b" | "B" => set(&mut levels, tokens.next().and_then(|name| header.variables.get(name)), rest),
            "r" | "R" => drop(tokens.next()),
            "$" if rest == "comment" => skip(&mut tokens),
            "$" => {} // the levels between $dumpvars and $end count like all others
            _ => return Err(format!("`{token}` is neither a time nor a level")),
        }
    }
    trace.push(time, levels);
    Ok(trace)
}

fn header<'t>(tokens: &mut impl Iterator<Item = &'t str>) -> Result<VcdHeader<'t>, String> {
    let mut header = VcdHeader { picoseconds: 1_000.0, names: Vec::new(), variables: BTreeMap::new() };
    while let Some(token) = tokens.next() {
        match token {
            "$enddefinitions" => {
                skip(tokens);
                return Ok(header);
            }
            "$timescale" => {
                let words: String = tokens.by_ref().take_while(|word| *word != "$end").collect();
                header.picoseconds = timescale(&words).ok_or_else(|| format!("`{words}` is not a timescale"))?;
            }
            "$var" => {
                let words: Vec<&str> = tokens.by_ref().take_while(|word| *word != "$end").collect();
                variable(&words, &mut header);
            }
            _ if token.starts_with('$') => skip(tokens),
            _ => return Err(format!("`{token}` stands outside any section")),
        }
    }
    Err("its header has no end ($enddefinitions)".into())
}

fn skip<'t>(tokens: &mut impl Iterator<Item = &'t str>) {
    tokens.take_while(|word| *word != "$end").for_each(drop);
}

/// Picoseconds of `1ns`, `10 us` and the like.
fn timescale(words: &str) -> Option<f64> {
    let digits: String = words.chars().take_while(char::is_ascii_digit).collect();
    let unit = match &words[digits.len()..] {
        "s" => 1e12,
        "ms" => 1e9,
        "us" => 1e6,
        "ns" => 1e3,
        "ps" => 1.0,
        "fs" => 1e-3,
        _ => return None,
    };
    Some(digits.parse::<f64>().ok()? * unit)
}

/// Type, width, identifier, name and perhaps a range. What cannot be kept is left out.
fn variable<'t>(words: &[&'t str], header: &mut VcdHeader<'t>) {
    let [kind, width, identifier, name, ..] = *words else { return };
    let bits = if kind == "real" { 0 } else { width.parse().unwrap_or(0) };
    let lowest = header.names.len();
    // One wire may have several names; the first one counts.
    if header.variables.contains_key(identifier) || bits == 0 || lowest + bits > MOST_LINES {
        return;
    }
    header.variables.insert(identifier, Variable { lowest, bits });
    for bit in 0..bits {
        header.names.push(if bits == 1 { name.to_owned() } else { format!("{name}[{bit}]") });
    }
}

/// Sets the lines of a variable to digits, the highest first; a short one is filled up as the standard says.
fn set(levels: &mut u64, variable: Option<&Variable>, digits: &str) {
    let Some(variable) = variable else { return };
    let high = |digit: u8| digit != b'0';
    let mut digits = digits.bytes().rev();
    let mut last = b'0';
    for bit in 0..variable.bits {
        let filled = if last == b'1' { b'0' } else { last };
        last = digits.next().unwrap_or(filled);
        let mask = 1 << (variable.lowest + bit);
        *levels = if high(last) { *levels | mask } else { *levels & !mask };
    }
}
