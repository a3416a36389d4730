//! The drill: vessels by night, drawn from a seed, and four things asked of each: what do you see, what is she, where are
//! you, what do you do.
//!
//! Takes a seed and what the learner got wrong before; gives items whose right choice the survey and the rules worked out.
//! The same seed and the same answers give the same items for ever. Must never keep files or read clocks: the record is a
//! plain value that the caller keeps.

mod dice;
mod item;
mod progress;
mod vessel;

pub use dice::Dice;
pub use item::{Item, Key, Topic};
pub use progress::{Card, Progress, Tally};
pub use vessel::{Dot, Region, Subject, Vessel};

/// A drill that goes on for as long as the learner likes.
#[derive(Clone, Debug)]
pub struct Drill {
    seed: u64,
    pub progress: Progress,
}

/// So many keys are tried: some questions cannot be asked of some vessels.
const TRIES: u32 = 400;

impl Drill {
    /// A drill from a seed, going on from a record; [`Progress::default`] begins anew.
    pub fn new(seed: u64, progress: Progress) -> Self {
        Self { seed, progress }
    }

    /// The next item: what was got wrong and is due again, or something new. Asked twice without an answer in between, it
    /// gives the same. `None` only where no question at all can be made, as from rules without lights.
    pub fn next(&self) -> Option<Item> {
        let mut dice = Dice::new(self.seed).split(self.progress.asked);
        let again = self.progress.due().into_iter().find_map(|key| item::item(&key, &mut dice));
        again.or_else(|| fresh(&mut dice, Topic::ALL, &[]))
    }

    /// Takes an answer to an item, and gives whether it is right.
    pub fn answer(&mut self, item: &Item, choice: usize) -> bool {
        let right = item.right == choice;
        self.progress.note(&item.key, right);
        right
    }
}

/// A paper: so many items, the topics in turn, no two of one kind as long as there are others.
pub fn paper(seed: u64, questions: usize) -> Vec<Item> {
    let dice = Dice::new(seed);
    let mut items: Vec<Item> = Vec::new();
    for number in 0..questions {
        let topic = Topic::ALL[number % Topic::ALL.len()];
        let used: Vec<Key> = items.iter().map(|item| item.key.clone()).collect();
        items.extend(fresh(&mut dice.split(number as u64), &[topic], &used));
    }
    items
}

/// An item of one of the topics, of a key that is not among those used if there is one to be found.
fn fresh(dice: &mut Dice, topics: &[Topic], used: &[Key]) -> Option<Item> {
    let mut repeated = None;
    for _ in 0..TRIES {
        let key = item::any_key(dice, topics);
        let Some(item) = item::item(&key, dice) else { continue };
        if !used.contains(&key) {
            return Some(item);
        }
        repeated = Some(item);
    }
    repeated
}
