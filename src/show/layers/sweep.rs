//! A turning beam with a fading trail, and what it finds.

use crate::diag::{Finding, Findings};
use crate::show::read::{Context, FieldSlot, Numeric, ReadField, layer};
use crate::show::{Position, Track};
use crate::source::{Fields, Node, Shape, report_wrong};

layer! {
    /// A turning beam with a fading, dithered trail. Angles are in degrees, clockwise from the top.
    Sweep, r#"Sweep(at: Centre, radius: 18, seconds_a_turn: 4, echoes: [Echo(degrees: 70, distance: 0.6)])"# {
        /// The centre, about which the beam turns.
        at: Position;
        /// Length of the beam in pixels.
        radius: Track [1.0, 500.0];
        /// Seconds for a full turn. If the arc is less than 360, seconds for one swing there and back.
        seconds_a_turn: f64 [0.1, 600.0] = 4.0;
        /// Where the beam starts.
        start_degrees: f64 [-360.0, 360.0] = 0.0;
        /// The arc that the beam covers. At 360 it keeps turning, below 360 it swings there and back.
        arc_degrees: f64 [1.0, 360.0] = 360.0;
        /// Length of the trail in degrees; 0 for none.
        trail_degrees: f64 [0.0, 360.0] = 60.0;
        /// Echoes: points that light up when the beam passes them.
        echoes: Vec<Echo> = Vec::new();
    }
}

/// Something the beam finds: it lights up as the beam passes and fades by dithering.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Echo {
    pub degrees: f64,
    /// Distance from the centre as a part of the radius, 0 to 1.
    pub distance: f64,
    /// Side of its square in pixels.
    pub size: u32,
    /// Seconds until it is dark again.
    pub fade_seconds: f64,
}

/// The most echoes of one sweep.
const MOST_ECHOES: usize = 64;

impl ReadField for Vec<Echo> {
    const FORM: &'static str = "a list of `Echo(degrees: …, distance: …, size: 1, fade_seconds: 2)`";
    type Usual = Self;

    fn read(node: &Node, _: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        let Shape::List(items) = &node.shape else {
            report_wrong(node, "a list of echoes [Echo(…), …]", findings);
            return None;
        };
        if items.len() > MOST_ECHOES {
            let message = format!("a sweep has at most {MOST_ECHOES} echoes, not {}", items.len());
            findings.push(Finding::error(node.span, message).hint("draw a second sweep over this one for the rest"));
            return None;
        }
        let read: Vec<Option<Echo>> = items.iter().map(|item| echo(item, context, findings)).collect();
        read.into_iter().collect()
    }
    fn usual(value: Self) -> Self {
        value
    }
}

fn echo(node: &Node, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Echo> {
    if node.head().is_some_and(|head| head != "Echo") {
        report_wrong(node, "Echo(…)", findings);
        return None;
    }
    let mut fields = Fields::open(node, "Echo", findings)?;
    let degrees = Numeric::plain("degrees", -360.0, 360.0).take(&mut fields, None, context, findings);
    let distance = Numeric::plain("distance", 0.0, 1.0).take(&mut fields, None, context, findings);
    let size =
        <u32 as ReadField>::take(&mut fields, &FieldSlot::new("size", "").range(1.0, 16.0), Some(1), context, findings);
    let fade = Numeric::plain("fade_seconds", 0.0, 600.0).take(&mut fields, Some(2.0), context, findings);
    fields.close(findings);
    Some(Echo { degrees: degrees?, distance: distance?, size: size?, fade_seconds: fade? })
}
