//! How quickly the night is drawn: turns round the boat in each view for so many frames and tells how long they took.
//!
//! Takes an app that draws; gives a [`FrameReport`]. Must never change what is drawn.

use std::{
    fmt,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

use bevy::{
    prelude::*,
    render::{
        Render, RenderApp, RenderSystems,
        render_resource::{CachedPipelineState, PipelineCache},
    },
};

use super::{Act, Judged, View};

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct FrameReport {
    /// From the start to the first frame with everything in it.
    pub first: Duration,
    /// Of each frame, in order.
    pub frames: Vec<Duration>,
    /// Width and height in pixels.
    pub size: (u32, u32),
    /// What was drawn on: "window with panels", "picture without panels".
    pub surface: &'static str,
}

impl FrameReport {
    /// Frames in a second, on the average; nought when none was measured.
    pub fn per_second(&self) -> f64 {
        let all: Duration = self.frames.iter().sum();
        if all.is_zero() { 0.0 } else { self.frames.len() as f64 / all.as_secs_f64() }
    }

    /// The time that so great a share of the frames keeps, `share` in `[0, 1]`.
    pub fn within(&self, share: f64) -> Duration {
        let mut sorted = self.frames.clone();
        sorted.sort_unstable();
        // Rounded down to an index of the list.
        let last = sorted.len().saturating_sub(1);
        sorted.get((share * last as f64) as usize).copied().unwrap_or_default()
    }
}

impl fmt::Display for FrameReport {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let milliseconds = |time: Duration| time.as_secs_f64() * 1e3;
        write!(
            out,
            "{} of {}x{}: first picture after {:.2} s; {} frames, {:.0} a second; half of them within {:.1} ms, 99 of 100 within {:.1} ms",
            self.surface,
            self.size.0,
            self.size.1,
            self.first.as_secs_f64(),
            self.frames.len(),
            self.per_second(),
            milliseconds(self.within(0.5)),
            milliseconds(self.within(0.99)),
        )
    }
}

/// Measures so many frames of a window and closes it; the report goes to standard output.
pub struct FramesPlugin {
    /// How many frames, above nought.
    pub count: u32,
    /// When the program started.
    pub started: Instant,
}

impl Plugin for FramesPlugin {
    fn build(&self, app: &mut App) {
        app.insert_resource(Frames {
            count: self.count,
            started: self.started,
            first: None,
            last: None,
            frames: Vec::new(),
        })
        .add_systems(Last, count);
        listen(app);
    }
}

/// Whether every shader that has been asked for is ready, as far as the renderer has told.
#[derive(Resource, Clone, Default)]
pub(super) struct Ready(Arc<AtomicBool>);

impl Ready {
    pub(super) fn now(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Has the renderer tell whether it is [`Ready`].
pub(super) fn listen(app: &mut App) {
    let ready = Ready::default();
    app.insert_resource(ready.clone());
    if let Some(renderer) = app.get_sub_app_mut(RenderApp) {
        renderer.insert_resource(ready).add_systems(Render, tell.in_set(RenderSystems::Cleanup));
    }
}

fn tell(ready: Res<Ready>, cache: Res<PipelineCache>) {
    let mut any = false;
    let all = cache.pipelines().all(|pipeline| {
        any = true;
        matches!(pipeline.state, CachedPipelineState::Ok(_))
    });
    ready.0.store(any && all, Ordering::Relaxed);
}

#[derive(Resource)]
struct Frames {
    count: u32,
    started: Instant,
    first: Option<Duration>,
    last: Option<Instant>,
    frames: Vec<Duration>,
}

/// What is done before a frame: a third of them in each view, always turning.
pub(super) fn act_of(frame: usize, count: usize) -> [Act; 2] {
    let view = View::ALL[(3 * frame / count.max(1)).min(2)];
    [Act::View(view), Act::Round(0.5)]
}

fn count(
    mut frames: ResMut<Frames>,
    ready: Res<Ready>,
    judged: Res<Judged>,
    window: Single<&Window>,
    mut acts: MessageWriter<Act>,
    mut leave: MessageWriter<AppExit>,
) {
    let now = Instant::now();
    if !ready.now() {
        return;
    }
    let started = frames.started;
    frames.first.get_or_insert(now - started);
    // The survey runs beside the first frames and is no part of drawing.
    if judged.0.is_none() {
        return;
    }
    if let Some(last) = frames.last.replace(now) {
        frames.frames.push(now - last);
    }
    let (done, count) = (frames.frames.len(), frames.count as usize);
    if done < count {
        acts.write_batch(act_of(done, count));
        return;
    }
    let report = FrameReport {
        first: frames.first.unwrap_or_default(),
        frames: std::mem::take(&mut frames.frames),
        size: (window.physical_width(), window.physical_height()),
        surface: "window with panels",
    };
    frames.last = None;
    println!("{report}");
    leave.write(AppExit::Success);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_report_tells_the_average_and_the_slow_ones() {
        let mut frames = vec![Duration::from_millis(10); 99];
        frames.push(Duration::from_millis(110));
        let report = FrameReport {
            first: Duration::from_millis(1500),
            frames,
            size: (1280, 720),
            surface: "window with panels",
        };
        assert!((report.per_second() - 100.0 / 1.1).abs() < 1e-9);
        assert_eq!(report.within(0.5), Duration::from_millis(10));
        assert_eq!(report.within(1.0), Duration::from_millis(110));
        assert!(
            report.to_string().starts_with("window with panels of 1280x720: first picture after 1.50 s; 100 frames")
        );
    }

    #[test]
    fn every_view_gets_its_third_of_the_frames() {
        let views: Vec<Act> = (0..9).map(|frame| act_of(frame, 9)[0]).collect();
        for (n, view) in View::ALL.into_iter().enumerate() {
            assert!(views[3 * n..3 * n + 3].iter().all(|act| *act == Act::View(view)));
        }
    }
}
