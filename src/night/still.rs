//! The same night as pictures, without a window: rendered to an image, the waves held, the camera where it belongs.

use std::{
    fmt,
    sync::{Arc, Mutex},
    time::Instant,
};

use bevy::{
    app::TerminalCtrlCHandlerPlugin,
    camera::RenderTarget,
    log::LogPlugin,
    prelude::*,
    render::{
        RenderPlugin,
        pipelined_rendering::PipelinedRenderingPlugin,
        render_resource::{PollType, TextureFormat},
        renderer::RenderDevice,
        settings::RenderCreation,
        view::screenshot::{Screenshot, ScreenshotCaptured},
    },
    window::ExitCondition,
    winit::WinitPlugin,
};
use image::RgbaImage;

use super::{
    Choice, FrameReport, LogicPlugins, PicturePlugins, Sight, Sky, View, Watch,
    adapter::open_adapter,
    eye::{FieldOfView, night_camera},
    frames,
    sea::{HELD, Waves},
    thrift::spare,
};
use crate::{
    boat::{Attitude, Pose, Scene, Status},
    measure::{Bearing, Degrees, Metres, NauticalMiles},
};

/// One picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Shot {
    /// Index into the scene's fits.
    pub fit: usize,
    pub status: Status,
    pub view: View,
    /// Where the eye is, seen from the boat. For every view.
    pub bearing: Bearing,
    /// How far off the observer afloat is. Aloft and on deck keep their own distances.
    pub range: Metres,
    /// The observer's height of eye.
    pub eye: Metres,
    /// Height of the view, in `(0, 120)`. `None`: afloat, whatever fills the picture with the boat
    /// ([`filling_view`](super::filling_view)); 40 degrees elsewhere.
    pub field_of_view: Option<Degrees>,
    pub attitude: Attitude,
    pub pose: Pose,
    /// Whether the ring is drawn (aloft).
    pub ring: bool,
    /// Whether the overtaking sector is drawn.
    pub sector: bool,
    /// Whether the band of what must show and does is drawn (aloft).
    pub arcs: bool,
    pub sky: Sky,
    /// Seconds at which the waves stand still, finite.
    pub waves: f32,
}

impl Shot {
    /// A fit from a quarter of a mile on a bearing, two metres above the water, the boat filling the picture.
    pub fn afloat(fit: usize, status: Status, bearing: Bearing) -> Self {
        Self {
            fit,
            status,
            view: View::Afloat,
            bearing,
            range: NauticalMiles(0.25).metres(),
            eye: Metres(2.0),
            field_of_view: None,
            attitude: Attitude::default(),
            pose: Pose::default(),
            ring: false,
            sector: false,
            arcs: false,
            sky: Sky::default(),
            waves: HELD,
        }
    }

    /// A fit from aloft with the ring, whose observers are so far off and so high above the water.
    pub fn aloft(fit: usize, status: Status, range: Metres, eye: Metres) -> Self {
        Self {
            view: View::Aloft,
            bearing: Bearing::new(32.0),
            range,
            eye,
            ring: true,
            sector: true,
            arcs: true,
            ..Self::afloat(fit, status, Bearing::AHEAD)
        }
    }

    /// A fit from close by.
    pub fn deck(fit: usize, status: Status, bearing: Bearing) -> Self {
        Self { view: View::Deck, ..Self::afloat(fit, status, bearing) }
    }

    fn choice(&self, scene: &Scene) -> Choice {
        let opening = Choice::opening(scene);
        let turned = |orbit| super::Orbit { bearing: self.bearing, ..orbit };
        Choice {
            fit: self.fit,
            status: self.status,
            asked: None,
            pose: self.pose,
            attitude: self.attitude,
            view: self.view,
            sight: Sight::Filled,
            watch: Watch { bearing: self.bearing, distance: self.range, eye: self.eye },
            aloft: turned(opening.aloft),
            deck: turned(opening.deck),
            close: false,
            ring: self.ring,
            sector: self.sector,
            arcs: self.arcs,
            sea: false,
            sky: self.sky,
            split: false,
            red: false,
            help: false,
        }
    }
}

/// Why there is no picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StillError {
    NoAdapter,
    /// The scene has no fit of this index.
    NoFit(usize),
    /// A picture must be 16 to 8192 pixels broad and high.
    BadSize(u32, u32),
    /// The view must be over 0 and under 120 degrees high; ranges and eyes must be over nought and finite.
    BadShot,
    /// The renderer gave nothing within its time.
    NoPicture,
}

impl fmt::Display for StillError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoAdapter => {
                write!(out, "there is no graphics adapter to draw with (no Vulkan driver was found)")
            }
            Self::NoFit(index) => write!(out, "the scene has no fit number {}", index + 1),
            Self::BadSize(width, height) => {
                write!(out, "a picture of {width}x{height} cannot be drawn: each side must be 16 to 8192 pixels")
            }
            Self::BadShot => write!(
                out,
                "range and eye height must be greater than nought, and the view over 0 and under 120 degrees high"
            ),
            Self::NoPicture => write!(out, "the graphics adapter gave no picture"),
        }
    }
}

impl std::error::Error for StillError {}

/// Renders one picture, `size` wide and high in pixels.
///
/// # Errors
/// See [`StillError`].
pub fn still(scene: &Arc<Scene>, size: (u32, u32), shot: &Shot) -> Result<RgbaImage, StillError> {
    let mut pictures = stills(scene, size, std::slice::from_ref(shot))?;
    pictures.pop().ok_or(StillError::NoPicture)
}

/// Renders pictures of one scene one after another, which costs much less than each by itself.
///
/// # Errors
/// See [`StillError`].
pub fn stills(scene: &Arc<Scene>, size: (u32, u32), shots: &[Shot]) -> Result<Vec<RgbaImage>, StillError> {
    let mut pictures = Vec::new();
    each_still(scene, size, shots, |_, picture| {
        pictures.push(picture);
        Ok(())
    })?;
    Ok(pictures)
}

/// Renders pictures of one scene one after another and hands over each, with its index, as soon as it is there.
///
/// # Errors
/// See [`StillError`], or what `keep` gives, after which no more are drawn.
pub fn each_still<E: From<StillError>>(
    scene: &Arc<Scene>,
    size: (u32, u32),
    shots: &[Shot],
    mut keep: impl FnMut(usize, RgbaImage) -> Result<(), E>,
) -> Result<(), E> {
    check_size(size)?;
    for shot in shots {
        check(scene, shot)?;
    }
    let Some(first) = shots.first() else { return Ok(()) };
    let mut studio = Studio::open(scene, size, first, Working::InTurn)?;
    shots.iter().enumerate().try_for_each(|(index, shot)| keep(index, studio.take(scene, shot)?))
}

/// Draws so many frames of a picture, turning round the boat in each view, and tells how long they took. As in a window,
/// one frame is made ready while the one before it is drawn; the last is waited for.
///
/// # Errors
/// See [`StillError`].
pub fn still_frames(
    scene: &Arc<Scene>,
    size: (u32, u32),
    count: u32,
    started: Instant,
) -> Result<FrameReport, StillError> {
    let first = Shot::aloft(0, Status::UnderWay, scene.conditions.far.metres(), Metres(2.0));
    check_size(size)?;
    check(scene, &first)?;
    let mut studio = Studio::open(scene, size, &first, Working::Abreast)?;
    // Once with everything in it, so that all is ready.
    studio.take(scene, &first)?;
    let ready = started.elapsed();
    let device = studio.app.world().resource::<RenderDevice>().clone();
    let mut frames = Vec::new();
    for frame in 0..count {
        let begun = Instant::now();
        for act in frames::act_of(frame as usize, count as usize) {
            studio.app.world_mut().write_message(act);
        }
        studio.app.update();
        if frame + 1 == count {
            device.poll(PollType::wait_indefinitely()).map_err(|_| StillError::NoPicture)?;
        }
        frames.push(begun.elapsed());
    }
    Ok(FrameReport { first: ready, frames, size, surface: "picture without panels" })
}

fn check_size((width, height): (u32, u32)) -> Result<(), StillError> {
    let sound = [width, height].iter().all(|side| (16..=8192).contains(side));
    if sound { Ok(()) } else { Err(StillError::BadSize(width, height)) }
}

fn check(scene: &Scene, shot: &Shot) -> Result<(), StillError> {
    if shot.fit >= scene.fits.len() {
        return Err(StillError::NoFit(shot.fit));
    }
    let positive = |value: f64| value > 0.0 && value.is_finite();
    let view = shot.field_of_view.is_none_or(|view| view.0 > 0.0 && view.0 < 120.0);
    if positive(shot.range.0) && positive(shot.eye.0) && view { Ok(()) } else { Err(StillError::BadShot) }
}

/// Whether a frame is made ready after the one before it is drawn, or while it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Working {
    InTurn,
    Abreast,
}

/// The app that draws pictures, and what it draws on.
struct Studio {
    app: App,
    canvas: Handle<Image>,
}

/// Frames to wait for a picture before giving up.
const PATIENCE: u32 = 200;

impl Studio {
    fn open(
        scene: &Arc<Scene>,
        (width, height): (u32, u32),
        first: &Shot,
        working: Working,
    ) -> Result<Self, StillError> {
        let adapter = open_adapter().ok_or(StillError::NoAdapter)?;
        let plugins = spare(DefaultPlugins.build())
            .set(WindowPlugin { primary_window: None, exit_condition: ExitCondition::DontExit, ..default() })
            .set(RenderPlugin {
                render_creation: RenderCreation::Manual(adapter),
                synchronous_pipeline_compilation: true,
                ..default()
            })
            .disable::<WinitPlugin>()
            .disable::<LogPlugin>()
            .disable::<TerminalCtrlCHandlerPlugin>();
        let plugins = match working {
            Working::InTurn => plugins.disable::<PipelinedRenderingPlugin>(),
            Working::Abreast => plugins,
        };
        let mut app = App::new();
        app.add_plugins(plugins)
            .insert_resource(ClearColor(Color::BLACK))
            .insert_resource(Waves::Held(HELD))
            .add_plugins((LogicPlugins::of(Arc::clone(scene)).choosing(first.choice(scene)), PicturePlugins));
        let image = Image::new_target_texture(width, height, TextureFormat::Rgba8UnormSrgb, None);
        let canvas = app.world_mut().resource_mut::<Assets<Image>>().add(image);
        app.world_mut().spawn((night_camera(Msaa::Sample4), RenderTarget::Image(canvas.clone().into())));
        while app.plugins_state() == bevy::app::PluginsState::Adding {
            bevy::tasks::tick_global_task_pools_on_main_thread();
        }
        app.finish();
        app.cleanup();
        Ok(Self { app, canvas })
    }

    fn take(&mut self, scene: &Scene, shot: &Shot) -> Result<RgbaImage, StillError> {
        *self.app.world_mut().resource_mut::<Choice>() = shot.choice(scene);
        *self.app.world_mut().resource_mut::<Waves>() = Waves::Held(shot.waves);
        let height = shot.field_of_view.map(|view| view.0.to_radians() as f32);
        *self.app.world_mut().resource_mut::<FieldOfView>() = FieldOfView(height);
        // One frame for the world to follow, one for the renderer to have it all.
        self.app.update();
        self.app.update();
        let taken = Arc::new(Mutex::new(None));
        let keep = Arc::clone(&taken);
        self.app.world_mut().spawn(Screenshot::image(self.canvas.clone())).observe(
            move |captured: On<ScreenshotCaptured>| {
                if let Ok(mut slot) = keep.lock() {
                    *slot = Some(captured.image.clone());
                }
            },
        );
        for _ in 0..PATIENCE {
            self.app.update();
            let image = taken.lock().ok().and_then(|mut slot| slot.take());
            if let Some(image) = image {
                return image.try_into_dynamic().map(|picture| picture.to_rgba8()).map_err(|_| StillError::NoPicture);
            }
        }
        Err(StillError::NoPicture)
    }
}
