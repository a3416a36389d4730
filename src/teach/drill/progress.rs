//! What a learner got right and wrong, and what comes again when.
//!
//! Takes each answer; gives what is due and a record in words. Plain values, to be kept by whoever has a state folder. Counts
//! in questions, not in days: must never read a clock.

use serde::{Deserialize, Serialize};

use super::{Key, Topic};

/// One thing that was got wrong, until it has been got right often enough.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Card {
    pub key: Key,
    /// Right answers since it was last got wrong.
    pub steps: u32,
    /// Comes again when so many questions were asked.
    pub due: u64,
}

/// How one topic went.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tally {
    pub asked: u64,
    pub right: u64,
}

/// See the module.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Progress {
    pub asked: u64,
    pub right: u64,
    pub topics: Vec<(Topic, Tally)>,
    pub cards: Vec<Card>,
}

/// After how many further questions a card comes again: first soon, then later. Got right each time, it is put away.
const AFTER: [u64; 4] = [2, 5, 12, 30];

impl Progress {
    /// Notes an answer.
    pub fn note(&mut self, key: &Key, right: bool) {
        self.asked += 1;
        self.right += u64::from(right);
        let tally = match self.topics.iter_mut().position(|(topic, _)| *topic == key.topic) {
            Some(at) => &mut self.topics[at].1,
            None => {
                self.topics.push((key.topic, Tally::default()));
                let last = self.topics.len() - 1;
                &mut self.topics[last].1
            }
        };
        tally.asked += 1;
        tally.right += u64::from(right);
        self.put(key, right);
    }

    fn put(&mut self, key: &Key, right: bool) {
        let known = self.cards.iter().position(|card| card.key == *key);
        let steps = match (known, right) {
            (None, true) => return,
            (_, false) => 0,
            (Some(at), true) => self.cards[at].steps + 1,
        };
        if let Some(at) = known {
            self.cards.remove(at);
        }
        if let Some(after) = AFTER.get(steps as usize) {
            self.cards.push(Card { key: key.clone(), steps, due: self.asked + after });
        }
    }

    /// What is due to come again, the longest due first.
    pub fn due(&self) -> Vec<Key> {
        let mut due: Vec<&Card> = self.cards.iter().filter(|card| card.due <= self.asked).collect();
        due.sort_by_key(|card| card.due);
        due.into_iter().map(|card| card.key.clone()).collect()
    }

    /// The record in words, a line each.
    pub fn in_words(&self) -> Vec<String> {
        let mut lines = vec![format!("{} of {} right", self.right, self.asked)];
        lines.extend(
            self.topics
                .iter()
                .map(|(topic, tally)| format!("{}: {} of {} right", topic.in_words(), tally.right, tally.asked)),
        );
        if !self.cards.is_empty() {
            lines.push(format!("{} to come again", self.cards.len()));
        }
        lines
    }
}
