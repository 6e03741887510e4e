//! Order by a number.
//!
//! All that is ordered here goes through two sorts, one of numbers and one of
//! places, since the standard library's sort is compiled anew for every type
//! and every comparison: a dozen of them were 25 kB of the page's download.

/// Sorts numbers, the smallest first; by the total order of IEEE 754, so that
/// one which is none does no harm.
pub fn sort_numbers(numbers: &mut [f64]) {
    numbers.sort_unstable_by(f64::total_cmp);
}

/// The places of numbers from the smallest to the largest; of equal ones the
/// first comes first.
pub fn ascending_places(numbers: &[f64]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..numbers.len()).collect();
    places.sort_by(|&one, &two| numbers[one].total_cmp(&numbers[two]));
    places
}

/// The things by a number of each, the smallest first; of equal ones the first
/// comes first.
pub fn ordered_by<T: Clone>(things: &[T], number: impl Fn(&T) -> f64) -> Vec<T> {
    let numbers: Vec<f64> = things.iter().map(number).collect();
    ascending_places(&numbers).into_iter().map(|place| things[place].clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_smallest_comes_first_and_equal_ones_keep_their_order() {
        let words = ["three", "one", "two", "seven", ""];
        let by_length = ordered_by(&words, |word| word.len() as f64);
        assert_eq!(by_length, ["", "one", "two", "three", "seven"]);
        assert_eq!(ascending_places(&[2.0, -1.0, 2.0, -0.0]), [1, 3, 0, 2]);
        assert!(ascending_places(&[]).is_empty());
    }

    #[test]
    fn what_is_no_number_comes_last() {
        let mut numbers = [f64::NAN, 1.0, f64::INFINITY, -3.0];
        sort_numbers(&mut numbers);
        assert_eq!(numbers[..3], [-3.0, 1.0, f64::INFINITY]);
        assert!(numbers[3].is_nan());
    }
}
