//! The 3D night: the boat in the dark as an eye sees her, in a window or as pictures without one.
//!
//! A handful of small plugins, each of which can be left out. [`LogicPlugins`] keep what is chosen, known and seen,
//! and run without any rendering; [`PicturePlugins`] draw it. What anyone sees of a light comes from
//! [`Stance::look`](crate::survey::Stance::look) and from nowhere else: the night must never hold a second truth.
//!
//! ```
//! use std::sync::Arc;
//! use bevy::prelude::*;
//! use lampwalk::night::{Act, LogicPlugins, Observer, Shown};
//! # fn steps(scene: lampwalk::boat::Scene) {
//! let mut app = App::new();
//! app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::new(scene))));
//! app.world_mut().write_message(Act::Observer(4));
//! app.update();
//! for observer in app.world_mut().query::<&Observer>().iter(app.world()) {
//!     println!("{}: {}", observer.bearing, observer.showing.letters());
//! }
//! # }
//! ```

mod adapter;
mod bake;
mod band;
mod choice;
mod crew;
mod dialog;
mod dress;
mod dusk;
mod eye;
mod fan;
mod film;
pub mod frame;
mod frames;
mod glare;
mod grip;
mod hands;
mod hatch;
mod known;
mod letters;
mod nudge;
mod pace;
mod paint;
mod panel;
mod picture;
mod places;
mod plot;
mod regard;
mod ring;
mod school;
mod sea;
mod still;
mod thrift;
#[cfg(test)]
mod trial;
mod window;
mod workbench;

use std::sync::Arc;

use bevy::prelude::*;

pub use adapter::{adapter_available, display_available};
pub use band::BandPlugin;
pub use choice::{Act, Choice, ChoicePlugin, Orbit, Shown, Sight, Sky, View, Watch};
pub use crew::{Body, CrewPlugin, FittedLamp, Half, Observer};
pub use dialog::DialogPlugin;
pub use dress::DressPlugin;
pub use dusk::DuskPlugin;
pub use eye::{Canvas, EyePlugin, Rig, filling_view};
pub use fan::FanPlugin;
pub use film::{Film, FilmError, Reel};
pub use frames::{FrameReport, FramesPlugin};
pub use glare::GlarePlugin;
pub use grip::{Caught, Grip, Handle, Hold, Thing};
pub use hands::{HandsPlugin, KEYS};
pub use known::{Beside, Both, Judged, Known, KnownPlugin, Patience, Verdict};
pub use pace::PacePlugin;
pub use paint::PaintPlugin;
pub use panel::{PanelPlugin, Panels, Reading, ReadingPlugin};
pub use picture::{OnePicturePlugin, PicturesPlugin};
pub use places::{GhostsPlugin, Places, PlacesPlugin, Seek};
pub use plot::place_of;
pub use regard::{Aim, Line, Regard, RegardPlugin, Regarded, Spot};
pub use ring::{ACCENT, RingPlugin};
pub use school::{Had, School, SchoolPlugin, Study, done};
pub use sea::SeaPlugin;
pub use still::{Shot, StillError, each_still, still, still_frames, stills};
pub use thrift::ThriftPlugin;
pub use window::{Fate, WindowError, WindowOptions, on_render_error, window, window_app};
pub use workbench::{
    Answer, Card, Choices, Next, Said, Work, Workbench, WorkbenchPlugin, surroundings, typed, typed_scene,
};

use crate::boat::Scene;

/// The order of a frame: the scene is changed, acts are performed, what follows from them is worked out, told to the entities, and drawn.
#[derive(SystemSet, Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Steps {
    /// Keys and mouse become acts.
    Hands,
    /// The scene itself is changed.
    Work,
    /// Acts change the choice.
    Act,
    /// Stance, survey and judgement follow the choice.
    Know,
    /// Entities follow what is known.
    Tell,
    /// The camera follows the choice.
    Look,
    /// Meshes and materials follow all of it.
    Draw,
}

/// Everything that runs without rendering.
pub struct LogicPlugins {
    scene: Arc<Scene>,
    choice: Choice,
}

impl LogicPlugins {
    /// For a scene, with what is chosen when it opens. The scene must have at least one fit.
    pub fn of(scene: Arc<Scene>) -> Self {
        let choice = Choice::opening(&scene);
        Self { scene, choice }
    }

    /// The same with another choice.
    pub fn choosing(self, choice: Choice) -> Self {
        Self { choice, ..self }
    }
}

impl Plugin for LogicPlugins {
    fn build(&self, app: &mut App) {
        app.configure_sets(
            Update,
            (Steps::Hands, Steps::Work, Steps::Act, Steps::Know, Steps::Tell, Steps::Look, Steps::Draw).chain(),
        )
        .insert_resource(Shown(Arc::clone(&self.scene)))
        .insert_resource(self.choice.clone())
        .insert_resource(Known::of(&self.scene, &self.choice))
        .add_plugins((ChoicePlugin, KnownPlugin, CrewPlugin, RegardPlugin));
    }
}

/// Everything that is drawn, but for panels.
pub struct PicturePlugins;

impl Plugin for PicturePlugins {
    fn build(&self, app: &mut App) {
        app.add_plugins((
            ThriftPlugin,
            PaintPlugin,
            EyePlugin,
            SeaPlugin,
            DressPlugin,
            RingPlugin,
            BandPlugin,
            FanPlugin,
            GhostsPlugin,
            GlarePlugin,
        ));
    }
}
