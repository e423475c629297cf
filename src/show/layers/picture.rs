//! A picture as read from its file.

use crate::show::read::layer;
use crate::show::{Dither, PictureId, Position};

layer! {
    /// A picture from a file: a still PNG, an animated GIF at its own speed, or a list of PNGs. Greys can be dithered.
    Picture, r#"Picture(picture: "lamp", at: Centre, dither: Ordered)"# {
        /// A picture of the show.
        picture: PictureId;
        /// Its position.
        at: Position;
        /// How greys become ink: threshold, ordered dithering, or error diffusion.
        dither: Dither = Dither::Threshold;
        /// A pixel becomes ink when its lightness × opacity is at least this.
        threshold: u8 [1.0, 255.0] = 128;
        /// Whether an animation repeats.
        repeat: bool = true;
    }
}
