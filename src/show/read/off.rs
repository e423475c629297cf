//! Reading when the display is off: `off: true`, or `off: [Off(from: 2, until: 3.5)]`.

use super::layer::read_instant;
use super::{Context, Numeric};
use crate::diag::{Finding, Findings};
use crate::source::{Fields, Node, Shape, report_wrong};

/// Seconds of a scene at which it may go off.
const LATEST: f64 = 600.0;

/// Reads the stretches of a scene during which the display is off: from, until.
pub fn read_off(
    node: Option<&Node>,
    context: &mut Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Vec<(f64, f64)>> {
    match node.map(|node| (node, &node.shape)) {
        None | Some((_, Shape::Flag(false))) => Some(Vec::new()),
        Some((_, Shape::Flag(true))) => Some(vec![(0.0, f64::INFINITY)]),
        Some((_, Shape::List(items))) => {
            let read: Vec<Option<(f64, f64)>> = items.iter().map(|item| read_one(item, context, findings)).collect();
            read.into_iter().collect()
        }
        Some((node, _)) => {
            report_wrong(node, "true, or a list [Off(from: …, until: …), …]", findings);
            None
        }
    }
}

fn read_one(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<(f64, f64)> {
    if node.head() != Some("Off") {
        report_wrong(node, "Off(from: …, until: …)", findings);
        return None;
    }
    let mut fields = Fields::open(node, "Off", findings)?;
    let mut instant = |name, usual| match fields.node(name) {
        Some(node) => read_instant(node, &Numeric::plain(name, 0.0, LATEST), context, findings),
        None => Some(usual),
    };
    let (from, until) = (instant("from", 0.0), instant("until", f64::INFINITY));
    fields.close(findings);
    let (from, until) = (from?, until?);
    if until <= from {
        let message = format!("`until` ({until} s) must be later than `from` ({from} s)");
        findings.push(Finding::error(node.span, message).hint("use a later `until`, or remove it"));
        return None;
    }
    Some((from, until))
}
