//! Sky and sea, and in the water the mirror images of the lights that the eye makes out.

use bevy::{camera::visibility::NoFrustumCulling, ecs::system::SystemParam, prelude::*};

use glam::DVec3;

use super::{
    Canvas, Choice, Half, Known, Rig, Steps,
    bake::MOON,
    frame::{drawn, level},
    glare::{loudness, signal},
    known::Both,
    paint::{MIRRORED, Pen, Sea, Water},
};
use crate::light::{Background, illuminance};

/// Draws sky and sea.
pub struct SeaPlugin;

impl Plugin for SeaPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Waves>()
            .init_resource::<Covered>()
            .add_systems(Startup, fill)
            .add_systems(Update, (stir, divide).in_set(Steps::Draw));
    }
}

/// How the waves move.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub enum Waves {
    #[default]
    Moving,
    /// Held at so many seconds, so that a picture comes out the same every time.
    Held(f32),
}

/// Seconds at which they are held for a picture.
pub(super) const HELD: f32 = 21.0;

fn fill(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut seas: ResMut<Assets<Sea>>) {
    let moon = drawn(MOON.normalize()).extend(0.0);
    for half in Half::BOTH {
        for (name, sky) in [("sky", true), ("sea", false)] {
            let water = Water {
                time: 0.0,
                pixel: 0.001,
                count: 0,
                star_square: 0.05,
                moon,
                air: Vec4::ZERO,
                places: [Vec4::Y; MIRRORED],
                colours: [Vec4::ZERO; MIRRORED],
            };
            commands.spawn((
                Name::new(name),
                half,
                half.layer(),
                Mesh3d(meshes.add(Pen::default().mesh())),
                MeshMaterial3d(seas.add(Sea { water, sky })),
                NoFrustumCulling,
                Transform::default(),
            ));
        }
    }
}

/// Rectangles of the picture, from -1 to 1 across and up, that panels cover wholly: nothing need be drawn there.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Covered(pub Vec<Rect>);

impl Covered {
    /// Whether a place in a window of that size lies behind a card.
    pub fn hides(&self, place: Vec2, window: Vec2) -> bool {
        let share = place / window.max(Vec2::ONE);
        let place = Vec2::new(share.x * 2.0 - 1.0, 1.0 - share.y * 2.0);
        self.0.iter().any(|card| card.contains(place))
    }
}

/// What of the picture is left when rectangles are taken out, as rectangles.
fn uncovered(covered: &[Rect]) -> Vec<Rect> {
    let whole = Rect::new(-1.0, -1.0, 1.0, 1.0);
    let mut left = vec![whole];
    for cover in covered {
        left = left.into_iter().flat_map(|rect| without(rect, *cover)).collect();
    }
    left
}

fn without(rect: Rect, cover: Rect) -> Vec<Rect> {
    let both = rect.intersect(cover);
    if both.is_empty() {
        return vec![rect];
    }
    [
        Rect::from_corners(rect.min, Vec2::new(both.min.x, rect.max.y)),
        Rect::from_corners(Vec2::new(both.max.x, rect.min.y), rect.max),
        Rect::from_corners(Vec2::new(both.min.x, rect.min.y), Vec2::new(both.max.x, both.min.y)),
        Rect::from_corners(Vec2::new(both.min.x, both.max.y), Vec2::new(both.max.x, rect.max.y)),
    ]
    .into_iter()
    .filter(|rect| rect.width() > 1e-6 && rect.height() > 1e-6)
    .collect()
}

/// Columns and rows that the water is divided into, the rows the narrower the nearer the horizon.
const COLUMNS: u32 = 10;
const ROWS: u32 = 40;

/// Gives sky and sea their sides of the horizon, but for what is covered.
fn divide(
    rig: Res<Rig>,
    choice: Res<Choice>,
    covered: Res<Covered>,
    surfaces: Query<(&Mesh3d, &MeshMaterial3d<Sea>)>,
    seas: Res<Assets<Sea>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut before: Local<Option<(f32, Vec<Rect>)>>,
) {
    let horizon = horizon(&rig);
    let rects = if choice.split { uncovered(&[]) } else { uncovered(&covered.0) };
    let now = Some((horizon, rects.clone()));
    if *before == now {
        return;
    }
    *before = now;
    for (mesh, sea) in surfaces {
        let sky = seas.get(&sea.0).is_some_and(|sea| sea.sky);
        if let Some(mut mesh) = meshes.get_mut(&mesh.0) {
            *mesh = side(&rects, horizon, sky);
        }
    }
}

/// The part of some rectangles that is above the horizon, or below it.
fn side(rects: &[Rect], horizon: f32, sky: bool) -> Mesh {
    let across = |n: u32| n as f32 / COLUMNS as f32 * 2.0 - 1.0;
    let down = |n: u32| horizon - (horizon + 1.0) * (n as f32 / ROWS as f32).powi(2);
    let (columns, rows): (Vec<f32>, Vec<f32>) = if sky {
        (Vec::new(), Vec::new())
    } else {
        ((1..COLUMNS).map(across).collect(), (1..ROWS).map(down).collect())
    };
    let mut pen = Pen::default();
    for rect in rects {
        let (low, high) =
            if sky { (rect.min.y.max(horizon), rect.max.y) } else { (rect.min.y, rect.max.y.min(horizon)) };
        if low >= high {
            continue;
        }
        let xs = cuts(rect.min.x, rect.max.x, &columns);
        let ys = cuts(low, high, &rows);
        for x in xs.windows(2) {
            for y in ys.windows(2) {
                let [a, b, c, d] = [(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])]
                    .map(|(x, y)| pen.vertex(Vec3::new(x, y, 0.0), [1.0; 4], Vec2::ZERO));
                pen.triangle([a, b, c]);
                pen.triangle([a, c, d]);
            }
        }
    }
    pen.mesh()
}

/// A stretch from end to end with the cuts that fall in it, rising.
fn cuts(from: f32, to: f32, at: &[f32]) -> Vec<f32> {
    let mut all: Vec<f32> = at.iter().copied().filter(|cut| *cut > from + 1e-6 && *cut < to - 1e-6).collect();
    all.extend([from, to]);
    all.sort_by(f32::total_cmp);
    all
}

/// Height of the horizon on the picture, from -1 at its foot to 1 at its top. The camera never leans to a side, so that
/// the horizon is level.
fn horizon(rig: &Rig) -> f32 {
    let way = rig.target - rig.eye;
    let steep = way.y / way.xz().length().max(1e-6);
    (-steep / (rig.field_of_view / 2.0).tan()).clamp(-1.0, 1.0)
}

/// How far the waves have moved.
#[derive(SystemParam)]
struct Clock<'w, 's> {
    time: Res<'w, Time>,
    choice: Res<'w, Choice>,
    waves: Res<'w, Waves>,
    moved: Local<'s, f32>,
}

impl Clock<'_, '_> {
    /// Seconds of movement.
    fn now(&mut self) -> f32 {
        if let Waves::Held(at) = *self.waves {
            return at;
        }
        // A window that waited for something new goes on from where it was.
        *self.moved += if self.choice.sea { self.time.delta_secs().min(0.1) } else { 0.0 };
        *self.moved
    }
}

/// How much of its contrast a thing keeps is told by `exp(-3 far / visibility)`: a twentieth at the visibility, the
/// convention that [`Transmissivity::from_visibility`] goes by.
///
/// [`Transmissivity::from_visibility`]: crate::light::Transmissivity::from_visibility
pub(super) fn air(known: &Known) -> Vec4 {
    let sky = known.sky;
    let haze = 3.0 / sky.visibility(known.scene()).metres().0;
    let shore = match sky.background {
        Background::Dark => 0.0,
        Background::Minor => 0.28,
        Background::Substantial => 0.85,
    };
    Vec4::new(haze as f32, if sky.moon { 1.0 } else { 0.0 }, shore, 0.0)
}

fn stir(
    mut clock: Clock,
    both: Both,
    rig: Res<Rig>,
    canvas: Res<Canvas>,
    surfaces: Query<(&MeshMaterial3d<Sea>, &Half)>,
    mut seas: ResMut<Assets<Sea>>,
    mut before: Local<f32>,
) {
    let now = clock.now();
    // A sea that is held and seen from one place needs no drawing up anew.
    let same = std::mem::replace(&mut *before, now) == now && !(rig.is_changed() || canvas.is_changed());
    for (sea, half) in surfaces {
        let Some(known) = both.of(*half) else { continue };
        if same && !both.is_changed(*half) {
            continue;
        }
        let Some(mut sea) = seas.get_mut(&sea.0) else { continue };
        let water = &mut sea.water;
        water.time = now;
        water.pixel = 2.0 * (rig.field_of_view / 2.0).tan() / canvas.0.y.max(1.0);
        // Halved and doubled with the height of the view, so that the stars stand still while it changes a little.
        water.star_square = (water.pixel * 54.0).log2().round().exp2();
        water.air = air(known);
        mirror(water, known, level(rig.eye));
    }
}

/// The lights that are made out, in the water.
fn mirror(water: &mut Water, known: &Known, eye: DVec3) {
    // Light that meets the water half-way leaves the lamp as if the eye were as far below the water as it is above.
    let mirrored = eye.with_z(-eye.z);
    let mut count = 0;
    for seen in known.look(eye).into_iter().filter(|seen| seen.made_out).take(MIRRORED) {
        let reach = known.stance.to_point(seen.light, mirrored);
        let lux = illuminance(reach.candela(), seen.distance, known.weather.transmissivity);
        let colour = signal(seen.colour).to_vec4() * (0.42 * loudness(lux));
        water.places[count] = drawn(seen.at).extend(0.0);
        water.colours[count] = colour;
        count += 1;
    }
    water.count = count as u32;
    // The rest are dark, and stand above the water, where the shader's quotients are sound.
    water.places[count..].fill(Vec4::Y);
    water.colours[count..].fill(Vec4::ZERO);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(rects: &[Rect]) -> f32 {
        rects.iter().map(|rect| rect.width() * rect.height()).sum()
    }

    #[test]
    fn what_cards_leave_and_what_they_cover_make_the_whole_picture_and_nothing_is_drawn_twice() {
        let cards =
            [Rect::new(-0.98, -0.2, -0.5, 0.97), Rect::new(0.52, 0.1, 0.98, 0.97), Rect::new(-0.6, 0.8, 0.6, 0.95)];
        let left = uncovered(&cards);
        for (n, one) in left.iter().enumerate() {
            assert!(cards.iter().all(|card| one.intersect(*card).is_empty()));
            assert!(left[n + 1..].iter().all(|other| one.intersect(*other).is_empty()));
        }
        let overlap = area(&[cards[0].intersect(cards[2]), cards[1].intersect(cards[2])]);
        assert!((area(&left) + area(&cards) - overlap - 4.0).abs() < 1e-4);
        assert_eq!(uncovered(&[]), [Rect::new(-1.0, -1.0, 1.0, 1.0)]);
        assert!(uncovered(&[Rect::new(-2.0, -2.0, 2.0, 2.0)]).is_empty());
    }

    #[test]
    fn a_place_behind_a_card_is_told_in_the_windows_own_points() {
        let covered = Covered(vec![Rect::new(-1.0, 0.5, -0.5, 1.0)]);
        let window = Vec2::new(1280.0, 720.0);
        assert!(covered.hides(Vec2::new(100.0, 100.0), window));
        for open in [Vec2::new(400.0, 100.0), Vec2::new(100.0, 300.0), Vec2::new(640.0, 360.0)] {
            assert!(!covered.hides(open, window), "{open}");
        }
        assert!(!Covered::default().hides(Vec2::ZERO, window));
    }

    #[test]
    fn the_horizon_is_in_the_middle_of_a_level_look_and_above_the_picture_from_aloft() {
        let rig =
            |up: f32| Rig { eye: Vec3::new(10.0, 2.0, 0.0), target: Vec3::new(0.0, 2.0 - up, 0.0), field_of_view: 0.7 };
        assert_eq!(horizon(&rig(0.0)), 0.0);
        assert!(horizon(&rig(1.0)) > 0.0 && horizon(&rig(1.0)) < 1.0);
        assert_eq!(horizon(&rig(9.0)), 1.0);
        assert_eq!(horizon(&rig(-9.0)), -1.0);
    }
}
