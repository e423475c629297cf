//! A picture as read from its file.

use crate::show::read::layer;
use crate::show::{Dither, PictureId, Position};

layer! {
    /// A picture as its file has it: a still PNG, an animated GIF in its own time, or a list of PNGs; greys may be dithered.
    Picture, r#"Picture(picture: "lamp", at: Centre, dither: Ordered)"# {
        /// A picture of the show.
        picture: PictureId;
        /// Where it stands.
        at: Position;
        /// How greys become ink: by the threshold alone, in an even pattern, or by spreading each pixel's error.
        dither: Dither = Dither::Threshold;
        /// A pixel is ink when its lightness, weighed by its opacity, is at least this.
        threshold: u8 [1.0, 255.0] = 128;
        /// Whether an animation starts again after its last picture.
        repeat: bool = true;
    }
}
