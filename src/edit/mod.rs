//! Editing a scene so that the file stays its writer's own: comments, order, blanks and spelling are kept, and only what
//! changes is changed.
//!
//! A [`Document`] holds the text of a scene file and the scene read from it. An [`Edit`] says in trade words what shall
//! be; the document writes it into the text with as few bytes as it takes and reads the scene anew, or refuses with the
//! reader's own words and stays as it was. It undoes and redoes without limit, saves the file whole with the version
//! before beside it, and notices when the file was changed by others; [`Recovery`] keeps what is not yet saved. Must never
//! know of windows, nor read a clock.
//!
//! ```
//! use lampwalk::boat::{Height, Place};
//! use lampwalk::edit::{Document, Edit, LampAt, Spot};
//!
//! let text = r#"Scene(name: "Skiff", // mine
//!     vessel: Vessel(length: 5, beam: 1.9, freeboard: 0.5, depth: 0.8, propulsion: Power, top_speed: 6),
//!     fits: [Fit(name: "as found", lamps: [
//!         Lamp(name: "port", role: PortSidelight, at: (forward: 3.5, port: 0.50, above_deck: 0.1), mount: Bracket, optics: "port 1 nm"),
//!     ])])"#;
//! let mut skiff = Document::of_text(text)?;
//! let place = Place { forward: 3.5, starboard: -0.62, height: Height::AboveDeck(0.1) };
//! skiff.apply(Edit::Move { what: Spot::Lamp(LampAt { fit: 0, lamp: 0 }), to: place })?;
//! assert_eq!(skiff.text(), text.replace("port: 0.50", "port: 0.62"));
//! assert_eq!(skiff.undo()?.as_deref(), Some("Move port"));
//! assert_eq!(skiff.text(), text);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod change;
mod document;
mod figure;
mod history;
pub mod kit;
mod outside;
mod recent;
mod recovery;
mod refit;
mod save;
mod script;
pub mod snap;

pub use change::{Edit, LampAt, Spot, Subject, places};
pub use document::{Document, Refusal};
pub use figure::Figure;
pub use history::Step;
pub use outside::Outside;
pub use recent::{MOST_RECENT, is_named_so, recent, remember, scenes_in};
pub use recovery::{EVERY, Offer, Recovery, offered, state_folder};
pub use refit::as_new_fit;
#[cfg(feature = "night")]
pub(crate) use save::may_be_written;
pub use save::{SaveError, previous_of};
