//! A small generator of numbers that look random and are the same for ever: SplitMix64.
//!
//! Steele, Lea and Flood, "Fast splittable pseudorandom number generators" (2014); its constants from memory, held against
//! published output below. Takes a seed; gives numbers. Not for secrets.

/// See the module.
#[derive(Clone, Debug)]
pub struct Dice {
    state: u64,
}

const STEP: u64 = 0x9E37_79B9_7F4A_7C15;

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// Dice of their own for one of many things that one seed gives.
    pub fn split(&self, number: u64) -> Self {
        let mut own = Self { state: self.state ^ number.wrapping_mul(STEP).rotate_left(17) };
        own.state = own.next_number();
        own
    }

    /// Any number.
    pub fn next_number(&mut self) -> u64 {
        self.state = self.state.wrapping_add(STEP);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from 0 up to, but not including, `count`; 0 for none.
    pub fn below(&mut self, count: usize) -> usize {
        let wide = u128::from(self.next_number()) * count as u128;
        // Less than count, so that it fits.
        (wide >> 64) as usize
    }

    /// A whole number of degrees, both ends included.
    pub fn degrees(&mut self, least: i32, most: i32) -> f64 {
        let span = usize::try_from(most - least + 1).unwrap_or(1);
        f64::from(least) + self.below(span) as f64
    }

    /// One of a list; `None` of an empty one.
    pub fn one<'l, T>(&mut self, list: &'l [T]) -> Option<&'l T> {
        list.get(self.below(list.len()))
    }

    /// Puts a list in any order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            list.swap(last, self.below(last + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First output for the seed 1234567, as published with the generator on Rosetta Code (from memory).
    #[test]
    fn it_gives_the_published_numbers() {
        let mut dice = Dice::new(1_234_567);
        let first: Vec<u64> = (0..3).map(|_| dice.next_number()).collect();
        assert_eq!(first, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }

    #[test]
    fn every_number_below_comes_up_and_none_beyond() {
        let mut dice = Dice::new(7);
        let mut counts = [0u32; 6];
        for _ in 0..6000 {
            counts[dice.below(6)] += 1;
        }
        assert!(counts.iter().all(|count| (800..1200).contains(count)), "{counts:?}");
        assert_eq!(dice.below(0), 0);
    }
}
