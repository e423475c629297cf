//! The largest number of each thing in a show. A script with more is refused before it is expanded.

use super::field;
use crate::diag::{Finding, Findings};
use crate::show::read::{MOST_FILES, MOST_NAMED};
use crate::source::{Node, Shape};

/// The show's fields that list things, and how many of them there may be.
const MOST: &[(&str, usize)] = &[
    ("scenes", MOST_NAMED),
    ("bases", MOST_NAMED),
    ("triggers", MOST_NAMED),
    ("cues", MOST_NAMED),
    ("modes", MOST_NAMED),
    ("templates", 1000),
    ("styles", 1000),
    ("fonts", MOST_FILES),
    ("pictures", MOST_FILES),
];

/// Whether the script lists too many of something, which is reported at the list.
pub fn too_many(script: &Node, findings: &mut Findings) -> bool {
    let mut found = false;
    for (what, most) in MOST {
        let Some(list) = field(script, what) else { continue };
        let count = if let Shape::Map(pairs) = &list.shape { pairs.len() } else { list.items().len() };
        if count > *most {
            let message = format!("there are {count} {what}; the limit is {most}");
            findings
                .push(Finding::error(list.span.opening(), message).hint(format!("remove {} of them", count - most)));
            found = true;
        }
    }
    found
}
