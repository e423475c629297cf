//! Reading positions and sizes.

use super::words::word;
use super::{Axis, Context, FieldSlot, Numeric, ReadField};
use crate::diag::Findings;
use crate::show::natural::{LayerEnd, track_end};
use crate::show::place::FULL;
use crate::show::{Anchor, Position, Size, Track};
use crate::source::{Fields, Node, Shape, report_wrong};

/// The furthest offset from an anchor in pixels, far beyond any display.
const FURTHEST: f64 = 2000.0;

impl ReadField for Position {
    const FORM: &'static str =
        "an anchor such as `Centre`, an anchor with an offset `Right(-2, 8)`, or `(x, y)` from the top left";
    type Usual = Anchor;

    fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        match &node.shape {
            Shape::Word(_) => word(node, slot.name, Anchor::WORDS, findings).map(Self::usual),
            Shape::Tuple(name, items) if items.len() == 2 => {
                let anchor = match name {
                    Some(name) => {
                        let bare = Node { span: node.span, shape: Shape::Word(name.clone()) };
                        word(&bare, slot.name, Anchor::WORDS, findings)
                    }
                    None => Some(Anchor::TopLeft),
                };
                let x = offset("x", Axis::X).track(&items[0], context, findings);
                let y = offset("y", Axis::Y).track(&items[1], context, findings);
                Some(Self { anchor: anchor?, x: x?, y: y? })
            }
            _ => {
                report_wrong(
                    node,
                    "an anchor such as Centre, an anchor with an offset such as Right(-2, 8), or (x, y)",
                    findings,
                );
                None
            }
        }
    }

    fn usual(anchor: Anchor) -> Self {
        Self { anchor, x: Track::still(0.0), y: Track::still(0.0) }
    }
    fn end(&self) -> LayerEnd {
        LayerEnd::latest([track_end(&self.x), track_end(&self.y)])
    }
    fn tracks(&mut self, visit: &mut dyn FnMut(&mut Track)) {
        visit(&mut self.x);
        visit(&mut self.y);
    }
}

fn offset(name: &'static str, axis: Axis) -> Numeric {
    Numeric { name, range: (-FURTHEST, FURTHEST), axis: Some(axis) }
}

impl Size {
    /// The size of the whole view.
    fn full(context: &Context<'_, '_>) -> Self {
        Self::usual((context.view.pixels(Axis::X), context.view.pixels(Axis::Y)))
    }
}

impl ReadField for Size {
    const FORM: &'static str = "`(width, height)`, or `Full` for the whole view";
    type Usual = (f64, f64);

    fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        match &node.shape {
            Shape::Word(word) if word == "Full" => Some(Self::full(context)),
            Shape::Tuple(None, items) if items.len() == 2 => {
                let side = |name, axis| Numeric { name, ..Numeric::of(slot, Some(axis)) };
                let width = side("width", Axis::X).track(&items[0], context, findings);
                let height = side("height", Axis::Y).track(&items[1], context, findings);
                Some(Self { width: width?, height: height? })
            }
            _ => {
                report_wrong(node, "a size (width, height), or Full", findings);
                None
            }
        }
    }

    fn usual((width, height): (f64, f64)) -> Self {
        Self { width: Track::still(width), height: Track::still(height) }
    }
    fn end(&self) -> LayerEnd {
        LayerEnd::latest([track_end(&self.width), track_end(&self.height)])
    }
    fn tracks(&mut self, visit: &mut dyn FnMut(&mut Track)) {
        visit(&mut self.width);
        visit(&mut self.height);
    }

    fn take(
        fields: &mut Fields<'_>,
        slot: &FieldSlot,
        usual: Option<Self::Usual>,
        context: &mut Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<Self> {
        match (fields.node(slot.name), usual) {
            (Some(node), _) => Self::read(node, slot, context, findings),
            (None, Some(FULL)) => Some(Self::full(context)),
            (None, Some(usual)) => Some(Self::usual(usual)),
            (None, None) => {
                fields.report_lack(slot.name, findings);
                None
            }
        }
    }
}
