//! The near ring is computed from point to point and the far ring by direction; the two must agree as the distance
//! grows. A lamp metres off the middle of the boat is seen from a bearing that differs by its offset over the distance,
//! so what is left between the two falls as one over the distance.

use std::path::Path;

use lampwalk::{
    boat::{Scene, read::scene_file},
    measure::{Bearing, Degrees, Metres},
    survey::{LightId, Stance, Station, at_rest},
};

const SCENES: [&str; 4] = ["sandpiper", "marigold", "harrier", "curlew"];
/// Metres from the middle of the boat, each four times the one before.
const DISTANCES: [f64; 4] = [100.0, 400.0, 1600.0, 6400.0];

fn scene(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    match scene_file(&path) {
        Ok(read) => read.scene,
        Err(error) => panic!("{error}"),
    }
}

/// What is left between the point and the direction on one bearing: of intensity as a share of the strongest that the
/// beam gives level, set upright, and of the visible fraction.
fn left(stance: &Stance, light: LightId, bearing: Bearing, distance: f64) -> (f64, f64) {
    let beam = &stance.posed().lamps[light.lamp].optics.beams[light.beam];
    let strongest = Bearing::points().map(|point| beam.intensity_at(point, Degrees(0.0)).0).fold(0.0, f64::max);
    let eye = Station { bearing, distance: Metres(distance), eye: Metres(2.0) }.point(stance.middle());
    let (near, far) = (stance.to_point(light, eye), stance.toward(light, bearing, Degrees(0.0)));
    let fraction = (near.visible.fraction - far.visible.fraction).abs();
    ((near.bare.0 - far.bare.0).abs() / strongest, fraction)
}

/// The mean of both over the thirty-two points and every light of every fit.
fn mean_left(name: &str, distance: f64) -> (f64, f64) {
    let scene = scene(name);
    let mut sums = (0.0, 0.0);
    let mut count = 0.0;
    for fit in &scene.fits {
        let stance = at_rest(&scene, fit);
        for light in stance.lights() {
            for bearing in Bearing::points() {
                let (intensity, fraction) = left(&stance, light, bearing, distance);
                sums = (sums.0 + intensity, sums.1 + fraction);
                count += 1.0;
            }
        }
    }
    (sums.0 / count, sums.1 / count)
}

#[test]
fn what_is_left_between_the_rings_falls_as_one_over_the_distance() {
    for name in SCENES {
        let left = DISTANCES.map(|distance| mean_left(name, distance));
        // Not so near nought from the start that there is nothing to compare.
        assert!(left[0].0 > 1e-4 && left[0].1 > 1e-5, "{name}: {left:?}");
        for pair in left.windows(2) {
            // Four times the distance leaves a quarter of the intensity, give or take the bends in the profiles. A deck
            // along the line of sight hides a face wholly or not at all until the eye is far, so that the fraction starts
            // to fall later; then it falls as evenly.
            let ratio = pair[0].0 / pair[1].0;
            assert!((3.0..6.5).contains(&ratio), "{name}: {left:?}");
            assert!(pair[1].1 <= pair[0].1, "{name}: {left:?}");
        }
        let ratio = left[0].0 / left[3].0;
        assert!((48.0..128.0).contains(&ratio), "{name}: intensity fell {ratio} times");
        let ratio = left[2].1 / left[3].1;
        assert!((3.5..4.5).contains(&ratio), "{name}: the fraction fell {ratio} times");
    }
}

/// The edge of a shadow shifts on the face by as much as an edge aboard, some metres from the lamp, over the distance for
/// each metre that the lamp stands off the middle of the boat or off the height of the eye: up to thirty square metres on
/// the largest of these boats, whose faces are 40 mm wide.
#[test]
fn from_three_miles_and_a_half_the_rings_agree_on_every_bearing() {
    for name in SCENES {
        let scene = scene(name);
        for fit in &scene.fits {
            let stance = at_rest(&scene, fit);
            for light in stance.lights() {
                for bearing in Bearing::points() {
                    for distance in [6400.0, 102_400.0] {
                        let (intensity, fraction) = left(&stance, light, bearing, distance);
                        assert!(
                            intensity < 128.0 / distance && fraction < 30.0 / 0.04 / distance,
                            "{name}, {light:?} on {bearing}: {intensity} {fraction}"
                        );
                    }
                }
            }
        }
    }
}
