//! The kinds of layers, one in each file: its fields with what they mean, their ranges and usual values.

mod bar;
mod circle;
mod line;
mod marquee;
mod rectangle;
mod roll;
mod sprite;
mod sweep;
mod text;
mod typed;

pub use bar::Bar;
pub use circle::Circle;
pub use line::Line;
pub use marquee::Marquee;
pub use rectangle::Rectangle;
pub use roll::Roll;
pub use sprite::Sprite;
pub use sweep::{Echo, Sweep};
pub use text::Text;
pub use typed::Typed;
