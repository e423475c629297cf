//! Figures as JSON for other programs: indented, fields in the order of their declaration.

use serde::Serialize;

/// The value as JSON text that ends with a line feed; `Err` says in words why there is none.
pub fn json(value: &impl Serialize) -> Result<String, String> {
    let text = serde_json::to_string_pretty(value).map_err(|why| format!("the figures cannot be written: {why}"))?;
    Ok(text + "\n")
}
