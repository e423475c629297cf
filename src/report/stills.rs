//! A still of each scene, for paper, where nothing plays.

use super::picture::png_address;
use super::{PagePicture, Subject};
use maud::{Markup, html};

/// Stills that stand beside the display on paper.
const MOST: usize = 10;

/// A picture from the middle of each scene, in the colours of the show's display at night.
pub fn stills(subject: &Subject<'_>) -> Result<Markup, String> {
    let scenes = subject.show.scenes();
    let shown = scenes.iter().zip(&subject.scenes).take(MOST);
    let shown = shown.filter_map(|(scene, pictures)| Some((scene.name.as_str(), middle(pictures)?)));
    let addresses: Vec<(&str, String)> =
        shown.map(|(name, picture)| Ok((name, address(subject, picture)?))).collect::<Result<_, String>>()?;
    Ok(html! {
        div .stills {
            @for (name, address) in &addresses {
                figure { img .pixels src=(address) alt={"Scene " (name) ", half-way"}; figcaption { (name) } }
            }
            @if scenes.len() > MOST { p { "and " (scenes.len() - MOST) " more" } }
        }
    })
}

/// Of the pictures for which the display is on, the middle one, or the one nearest to it on which a pixel is lit: a text may blink.
fn middle(pictures: &[PagePicture]) -> Option<&PagePicture> {
    let on: Vec<&PagePicture> = pictures.iter().filter(|picture| picture.on).collect();
    let middle = on.len() / 2;
    let lit = (0..on.len()).filter(|at| on[*at].picture.lit_pixels().next().is_some());
    on.get(lit.min_by_key(|at| at.abs_diff(middle)).unwrap_or(middle)).copied()
}

fn address(subject: &Subject<'_>, picture: &PagePicture) -> Result<String, String> {
    let display = subject.appearance.displays.first().ok_or("the show has no display")?;
    let picture = &picture.picture;
    let second =
        |x: u32, y: u32| display.second.as_ref().is_some_and(|mask| mask.get(x.cast_signed(), y.cast_signed()));
    let index = |x: u32, y: u32| match (picture.get(x.cast_signed(), y.cast_signed()), second(x, y)) {
        (false, _) => 0,
        (true, false) => 1,
        (true, true) => 2,
    };
    let (width, height) = (picture.width(), picture.height());
    let indices: Vec<u8> =
        (0..height).flat_map(|y| (0..width).map(move |x| (x, y))).map(|(x, y)| index(x, y)).collect();
    png_address(width, height, &[display.night.unlit, display.night.lit, display.night.second], &indices)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::Bitmap;

    #[test]
    fn a_scene_that_goes_off_is_told_by_a_picture_before() {
        let picture = |contrast, on| PagePicture { picture: Bitmap::new(1, 1), contrast, on };
        let pictures = [picture(1, true), picture(2, true), picture(3, true), picture(4, false), picture(5, false)];
        assert_eq!(middle(&pictures).map(|picture| picture.contrast), Some(2));
        assert_eq!(middle(&pictures[3..]), None);
    }

    #[test]
    fn a_blinking_scene_is_shown_while_it_is_lit() {
        let picture = |contrast, lit| {
            let mut picture = Bitmap::new(1, 1);
            picture.set(0, 0, lit);
            PagePicture { picture, contrast, on: true }
        };
        let pictures = [picture(1, true), picture(2, false), picture(3, false), picture(4, false), picture(5, true)];
        assert_eq!(middle(&pictures[..4]).map(|picture| picture.contrast), Some(1));
        assert_eq!(middle(&pictures[1..]).map(|picture| picture.contrast), Some(5));
    }
}
