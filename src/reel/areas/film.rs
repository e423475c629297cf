//! One long strip that contains each picture of a sequence, and the place of the window for each picture.

/// The length of the longest strip.
const MOST_ITEMS: usize = 1200;

/// A strip, and for each picture where the window begins.
pub struct WindowedStrip<T> {
    pub strip: Vec<T>,
    pub places: Vec<usize>,
}

/// A growing strip. Its places count from that of the first picture.
struct Growing<T> {
    strip: Vec<T>,
    first: isize,
}

impl<T: Copy + PartialEq> Growing<T> {
    /// The place behind its last item.
    fn end(&self) -> isize {
        self.first + self.strip.len().cast_signed()
    }

    /// Returns how many items of a picture the strip already has at a place. `None` if one of them differs there.
    fn agrees(&self, picture: &[T], place: isize) -> Option<usize> {
        // Of the items from its first on, the picture lies behind `apart` of the strip, or the strip behind `apart` of the picture.
        let apart = place.abs_diff(self.first);
        let (strip, picture) = if place > self.first {
            (self.strip.get(apart..).unwrap_or(&[]), picture)
        } else {
            (&self.strip[..], picture.get(apart..).unwrap_or(&[]))
        };
        let common = strip.len().min(picture.len());
        (strip[..common] == picture[..common]).then_some(common)
    }

    /// Puts a picture at a place where the strip agrees with it. The picture must touch or overlap the strip.
    fn put(&mut self, picture: &[T], place: isize) {
        let behind = (place + picture.len().cast_signed() - self.end()).max(0).cast_unsigned();
        self.strip.extend(&picture[picture.len() - behind..]);
        let before = (self.first - place).max(0).cast_unsigned();
        self.strip.splice(0..0, picture[..before].iter().copied());
        self.first = self.first.min(place);
    }
}

/// Returns a strip that contains pictures of equal length. Each picture is found in the strip, overlaps its end, or is appended.
/// `None` if the strip gets too long.
pub fn film<T: Copy + PartialEq>(pictures: &[Vec<T>]) -> Option<WindowedStrip<T>> {
    let width = pictures.first()?.len().cast_signed();
    let mut growing = Growing { strip: pictures[0].clone(), first: 0 };
    let (mut place, mut step) = (0, 0);
    let mut places = vec![0];
    for picture in &pictures[1..] {
        let whole = |place: isize| growing.agrees(picture, place) == Some(picture.len());
        let end = growing.end() - width;
        let found = if whole(place + step) {
            place + step
        } else if whole(place) {
            place
        } else if let Some(found) = (growing.first..=end).find(|place| whole(*place)) {
            found
        } else {
            // Pictures overlap by at least half. The last step is tried first, then the shortest.
            let steps = (1..=width / 2).flat_map(|far| [far, -far]);
            let overlaps = |place: isize| growing.agrees(picture, place).is_some_and(|same| same * 2 >= picture.len());
            let mut steps = std::iter::once(step).chain(steps).map(|step| place + step);
            steps.find(|place| overlaps(*place)).unwrap_or(end + width)
        };
        growing.put(picture, found);
        (step, place) = (if found == place { step } else { found - place }, found);
        if growing.strip.len() > MOST_ITEMS {
            return None;
        }
        places.push(place);
    }
    let places = places.into_iter().map(|place| place.abs_diff(growing.first)).collect();
    Some(WindowedStrip { strip: growing.strip, places })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_picture_stands_where_the_film_says(pictures in prop::collection::vec(prop::collection::vec(0u8..3, 7), 1..40)) {
            if let Some(film) = film(&pictures) {
                for (picture, place) in pictures.iter().zip(film.places) {
                    prop_assert_eq!(&film.strip[place..place + 7], &picture[..]);
                }
            }
        }
    }

    #[test]
    fn what_passes_by_is_one_strip_and_comes_round() {
        let text: Vec<usize> = (1..31).map(|at| at * at).collect();
        let seen = |from: usize| (0..8).map(|at| text[(from + at) % 30]).collect::<Vec<_>>();
        let film = film(&(0..90).map(seen).collect::<Vec<_>>()).expect("a film");
        assert_eq!(film.strip.len(), 37);
        assert_eq!((film.places[29], film.places[30], film.places[31]), (29, 0, 1));
    }
}
