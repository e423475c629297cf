//! Reading thresholds: `thresholds: [Below(live: "cell", limit: 20, again: 25, trigger: "low"), Above(…)]`.

use super::{Context, Numeric};
use crate::diag::{Finding, Findings};
use crate::show::{LiveId, Threshold, ThresholdSide as Side, TriggerId};
use crate::source::{Fields, Node, Placed, Shape, report_wrong};
use crate::whole::rounded;

/// The most thresholds of a show: the player keeps a bit of each.
const MOST_THRESHOLDS: usize = 16;
/// A threshold that does not say is ready again so far back, as a share of the range.
const USUAL_WAY_BACK: f64 = 0.05;

/// Reads the show's thresholds; its scenes, which declare the live values, were read before.
pub fn read_thresholds(
    node: Option<&Node>,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<Vec<Threshold>> {
    let Some(node) = node else { return Some(Vec::new()) };
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list [Below(live: …), Above(live: …), …]", findings);
        return None;
    };
    if items.len() > MOST_THRESHOLDS {
        let message = format!("there are {} thresholds; the limit is {MOST_THRESHOLDS}", items.len());
        findings.push(Finding::error(node.span, message).hint("use the same trigger for several limits"));
        return None;
    }
    let read: Vec<_> = items.iter().map(|item| read_threshold(item, context, findings)).collect();
    let thresholds: Vec<Threshold> = read.into_iter().collect::<Option<_>>()?;
    report_chases(&thresholds, context, findings);
    Some(thresholds)
}

fn read_threshold(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Threshold> {
    let (name, side) = match node.head() {
        Some("Below") => ("Below", Side::Below),
        Some("Above") => ("Above", Side::Above),
        _ => {
            report_wrong(node, "Below(live: …, limit: …, trigger: …) or Above(…)", findings);
            return None;
        }
    };
    let mut fields = Fields::open(node, name, findings)?;
    let live = fields.required::<Placed<String>>("live", findings);
    let (limit, again) = (fields.node("limit"), fields.node("again"));
    if limit.is_none() {
        fields.report_lack("limit", findings);
    }
    let trigger = fields.required::<Placed<String>>("trigger", findings);
    let trigger = trigger.and_then(|name| context.triggers.find(&name, findings)).map(TriggerId);
    fields.close(findings);
    let live = live?;
    let lives = context.lives.borrow();
    let Some(number) = lives.iter().position(|known| known.name == live.value) else {
        let finding = Finding::error(live.span, format!("no layer has a live value named `{}`", live.value));
        let known: Vec<_> = lives.iter().map(|live| format!("`{}`", live.name)).collect();
        let hint = if known.is_empty() {
            "give a number of a layer as `Live(name: …, from: …, to: …, steps: …)`".to_owned()
        } else {
            format!("the live values are {}", known.join(", "))
        };
        findings.push(finding.hint(hint));
        return None;
    };
    let value = &lives[number];
    let (from, to) = (f64::from(value.from), f64::from(value.to));
    // So that there is a value on its side, and one from which it can be met.
    let (lowest, highest) = match side {
        Side::Below => (from + 1.0, to),
        Side::Above => (from, to - 1.0),
    };
    let limit = whole("limit", (lowest, highest), limit?, context, findings)?;
    let way = ((to - from) * USUAL_WAY_BACK).ceil().max(1.0);
    let again = match again {
        Some(node) => whole("again", (from, to), node, context, findings)?,
        None if side == Side::Below => (limit + way).min(to),
        None => (limit - way).max(from),
    };
    let comes_back = if side == Side::Below { again > limit } else { again < limit };
    if !comes_back {
        let (other, limit) = (if side == Side::Below { "above" } else { "below" }, limit);
        let message = format!("`again` must be {other} `limit`, but {again} is not {other} {limit}");
        let hint = "otherwise small changes near the limit would raise the trigger again and again";
        findings.push(Finding::error(node.span, message).hint(hint));
        return None;
    }
    Some(Threshold {
        value: LiveId(number),
        side,
        limit: rounded(limit),
        again: rounded(again),
        trigger: trigger?,
        span: node.span,
    })
}

/// Two thresholds of a value that are met together, one from below and one from above, and raise different triggers: each would
/// undo what the other does.
fn report_chases(thresholds: &[Threshold], context: &Context<'_, '_>, findings: &mut Findings) {
    let lives = context.lives.borrow();
    for (at, one) in thresholds.iter().enumerate() {
        for other in &thresholds[..at] {
            let (below, above) = match (one.side, other.side) {
                (Side::Below, Side::Above) => (one, other),
                (Side::Above, Side::Below) => (other, one),
                _ => continue,
            };
            let both = above.limit.saturating_add(1);
            if below.value != above.value || below.trigger == above.trigger || both >= below.limit {
                continue;
            }
            let name = &lives[below.value.0].name;
            let message = format!(
                "two thresholds lead to each other without end: at {both} `{name}` is below {} and above {}",
                below.limit, above.limit
            );
            let finding = Finding::error(one.span, message).also(other.span, "the other one");
            findings.push(finding.hint(format!(
                "choose limits that no value meets at once: at most {} for `Below`, or at least {} for `Above`",
                above.limit,
                below.limit.saturating_sub(1)
            )));
        }
    }
}

fn whole(
    name: &'static str,
    (lowest, highest): (f64, f64),
    node: &Node,
    context: &Context<'_, '_>,
    findings: &mut Findings,
) -> Option<f64> {
    let value = Numeric::plain(name, lowest, highest).read(node, context, findings)?;
    if value.fract() == 0.0 {
        return Some(value);
    }
    let message = format!("`{name}` must be a whole number, not {value}, as the firmware sets whole numbers");
    findings.push(Finding::error(node.span, message).hint(format!("write `{name}: {}`", value.round())));
    None
}
