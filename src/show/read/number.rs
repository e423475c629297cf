//! Numbers in their range and in their unit: pixels, a share of the view, or millimetres of the display.

use super::{Context, FieldSlot, ReadField};
use crate::diag::{Finding, Findings};
use crate::source::{Fields, Node, Shape, out_of_range, report_wrong};
use crate::whole::rounded;

/// Along which side of the view a length lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    X,
    Y,
    /// None: the number is a level of light, of which per cents may be given.
    Level,
}

/// What a number must be.
#[derive(Clone, Copy, Debug)]
pub struct Numeric {
    /// The field's name, for messages.
    pub name: &'static str,
    pub range: (f64, f64),
    /// The axis, if the number is a length that can have other units than pixels.
    pub axis: Option<Axis>,
}

impl Numeric {
    /// A plain number in a range.
    pub fn plain(name: &'static str, lowest: f64, highest: f64) -> Self {
        Self { name, range: (lowest, highest), axis: None }
    }

    /// A number of seconds, from 0 to an hour.
    pub fn seconds(name: &'static str) -> Self {
        Self::plain(name, 0.0, 3600.0)
    }

    /// What a field's row says of its numbers.
    pub fn of(slot: &FieldSlot, axis: Option<Axis>) -> Self {
        Self { name: slot.name, range: slot.range.unwrap_or((f64::MIN, f64::MAX)), axis }
    }

    /// Reads the number and checks its range.
    pub fn read(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<f64> {
        let value = self.value(node, context, findings)?;
        let (lowest, highest) = self.range;
        if (lowest..=highest).contains(&value) {
            return Some(value);
        }
        let in_pixels = !matches!(node.shape, Shape::Number(_)) && self.axis != Some(Axis::Level);
        let unit = if in_pixels { " pixels" } else { "" };
        findings.push(out_of_range(node.span, self.name, value, self.range, unit));
        None
    }

    /// Takes the field of this name from a record; without a usual value it must be there.
    pub fn take(
        &self,
        fields: &mut Fields<'_>,
        usual: Option<f64>,
        context: &Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<f64> {
        match (fields.node(self.name), usual) {
            (Some(node), _) => self.read(node, context, findings),
            (None, Some(usual)) => Some(usual),
            (None, None) => {
                fields.report_lack(self.name, findings);
                None
            }
        }
    }

    /// Takes a whole number in the same way.
    pub fn take_whole(
        &self,
        fields: &mut Fields<'_>,
        usual: Option<f64>,
        context: &Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<u32> {
        let Some(node) = fields.node(self.name) else {
            if usual.is_none() {
                fields.report_lack(self.name, findings);
            }
            return usual.map(rounded);
        };
        self.read_whole(node, context, findings)
    }

    /// Reads a whole number and checks its range, which lies within the type's own.
    pub fn read_whole(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<u32> {
        let value = self.read(node, context, findings)?;
        if value.fract() != 0.0 {
            findings.push(not_whole(node, self.name, value, self.range));
            return None;
        }
        Some(rounded(value))
    }

    /// The number of a node, in pixels where it is a length; `None` after a finding.
    fn value(&self, node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<f64> {
        if let Shape::Number(value) = node.shape
            && value.is_finite()
        {
            return Some(value);
        }
        if let (Some(axis), Shape::Tuple(Some(unit), items)) = (self.axis, &node.shape)
            && let [Node { shape: Shape::Number(amount), .. }] = items[..]
        {
            match unit.as_str() {
                "Percent" => return Some((amount / 100.0 * context.view.pixels(axis)).round()),
                "Millimetres" if axis != Axis::Level => return Some((amount / context.view.pitch(axis)).round()),
                _ => {}
            }
        }
        if node.head() == Some("Live") {
            let message = format!("`{}` cannot move, so it cannot follow a live value", self.name);
            let hint = if self.name.ends_with("_a_second") {
                "use a fixed number; or a text or picture whose position follows a live value, which the firmware moves on"
            } else {
                "use a fixed number; `shown: Live(…)` can choose among layers that differ in it"
            };
            findings.push(Finding::error(node.span, message).hint(hint));
            return None;
        }
        let wanted = match self.axis {
            Some(Axis::Level) => "a level from 0 to 255, or Percent(…)",
            Some(_) => "a number of pixels, Percent(…) or Millimetres(…)",
            None => "a number",
        };
        report_wrong(node, wanted, findings);
        None
    }
}

fn not_whole(node: &Node, name: &str, value: f64, (lowest, highest): (f64, f64)) -> Finding {
    let nearest = value.round().clamp(lowest.ceil(), highest.floor());
    Finding::error(node.span, format!("`{name}` must be a whole number, not {value}")).hint(format!("use {nearest}"))
}

impl ReadField for f64 {
    const FORM: &'static str = "a number";
    type Usual = f64;

    fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        Numeric::of(slot, None).read(node, context, findings)
    }
    fn usual(value: f64) -> Self {
        value
    }
}

/// Whole numbers; the range in the table lies within the type's own.
macro_rules! whole {
    ($($type:ty),*) => {$(
        impl ReadField for $type {
            const FORM: &'static str = "a whole number";
            type Usual = $type;

            fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
                let own = (f64::from(<$type>::MIN), f64::from(<$type>::MAX));
                let range = slot.range.unwrap_or(own);
                let value = Numeric { name: slot.name, range, axis: None }.read(node, context, findings)?;
                if value.fract() != 0.0 {
                    findings.push(not_whole(node, slot.name, value, range));
                    return None;
                }
                Some(rounded(value))
            }
            fn usual(value: $type) -> Self {
                value
            }
        }
    )*};
}
whole!(u8, u16, u32, i32);
