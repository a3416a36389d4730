//! Gives hull, parts and lamps their meshes, and lays their light on the water. Worked out afresh only when what is
//! known of the boat changes.

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::{
    Body, FittedLamp, Half, Known, Regarded, Rig, Steps, bake,
    frame::{drawn, level, lying},
    known::Both,
    paint::{Facets, Ink},
    ring::ACCENT,
    sea,
};

/// Draws the boat.
pub struct DressPlugin;

impl Plugin for DressPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, lay_pool).add_systems(
            Update,
            ((dress_bodies, point_out).chain(), dress_lamps, light_pool, dim_pool, veil, sink).in_set(Steps::Draw),
        );
    }
}

/// What solids are dressed in.
#[derive(Resource)]
struct Cloth {
    plain: Handle<Facets>,
    /// Of the part that the pointer is about.
    lit: Handle<Facets>,
}

#[derive(Component)]
struct Pool;

fn lay_pool(
    mut commands: Commands,
    mut inks: ResMut<Assets<Ink>>,
    mut facets: ResMut<Assets<Facets>>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let plain = Facets { rim: LinearRgba::rgb(0.010, 0.014, 0.021), glow: LinearRgba::BLACK, air: Vec4::ZERO };
    let lit = Facets { rim: ACCENT, glow: ACCENT * 0.28, ..plain.clone() };
    commands.insert_resource(Cloth { plain: facets.add(plain), lit: facets.add(lit) });
    let ink = inks.add(Ink::layer(0));
    for half in Half::BOTH {
        commands.spawn((
            Name::new("light on the water"),
            Pool,
            half,
            half.layer(),
            Mesh3d(meshes.add(super::paint::Pen::default().mesh())),
            MeshMaterial3d(ink.clone()),
            NoFrustumCulling,
            Transform::default(),
        ));
    }
}

/// The air between her and the eye.
fn veil(known: Res<Known>, cloth: Res<Cloth>, mut facets: ResMut<Assets<Facets>>) {
    if !known.is_changed() {
        return;
    }
    let air = sea::air(&known);
    for cloth in [&cloth.plain, &cloth.lit] {
        if facets.get(cloth).is_some_and(|facets| facets.air != air)
            && let Some(mut facets) = facets.get_mut(cloth)
        {
            facets.air = air;
        }
    }
}

/// Hull, parts and lamps.
type Aboard = Or<(With<Body>, With<FittedLamp>)>;

/// Far off, the curve of the sea hides her from the water up.
fn sink(rig: Res<Rig>, both: Both, mut aboard: Query<(&mut Transform, &Half), Aboard>) {
    for (mut place, half) in &mut aboard {
        let Some(known) = both.of(*half) else { continue };
        let height = lying(&known.stance).translation.y - known.hidden(level(rig.eye)).0 as f32;
        if place.translation.y != height {
            place.translation.y = height;
        }
    }
}

fn dress_bodies(
    mut commands: Commands,
    both: Both,
    cloth: Res<Cloth>,
    mut meshes: ResMut<Assets<Mesh>>,
    bare: Query<(Entity, &Body, &Half), Added<Body>>,
) {
    for (entity, body, half) in &bare {
        if let Some(mesh) = both.of(*half).and_then(|known| bake::body(known, body.0)) {
            commands.entity(entity).insert((
                Mesh3d(meshes.add(mesh)),
                MeshMaterial3d(cloth.plain.clone()),
                NoFrustumCulling,
            ));
        }
    }
}

/// The part whose shadows are looked at stands out, and goes back when they are not. What is looked at is of the chosen
/// fit, which is in the first half.
fn point_out(
    regarded: Res<Regarded>,
    cloth: Res<Cloth>,
    mut bodies: Query<(&Half, Ref<Body>, &mut MeshMaterial3d<Facets>)>,
) {
    if !regarded.is_changed() && bodies.iter().all(|(_, body, _)| !body.is_added()) {
        return;
    }
    let owner = regarded.0.as_ref().and_then(|regard| regard.owner);
    for (half, body, mut worn) in &mut bodies {
        let lit = *half == Half::First && Some(body.0) == owner;
        worn.set_if_neq(MeshMaterial3d(if lit { cloth.lit.clone() } else { cloth.plain.clone() }));
    }
}

fn dress_lamps(
    mut commands: Commands,
    both: Both,
    cloth: Res<Cloth>,
    mut meshes: ResMut<Assets<Mesh>>,
    bare: Query<(Entity, &FittedLamp, &Half), Added<FittedLamp>>,
) {
    for (entity, lamp, half) in &bare {
        if let Some(mesh) = both.of(*half).and_then(|known| bake::housing(known, lamp.index)) {
            commands.entity(entity).insert((
                Mesh3d(meshes.add(mesh)),
                MeshMaterial3d(cloth.plain.clone()),
                NoFrustumCulling,
            ));
        }
    }
}

fn light_pool(both: Both, mut meshes: ResMut<Assets<Mesh>>, pools: Query<(&mut Mesh3d, &Half), With<Pool>>) {
    for (mut pool, half) in pools {
        if let (true, Some(known)) = (both.is_changed(*half), both.of(*half)) {
            pool.0 = meshes.add(bake::pool(known));
        }
    }
}

/// Light that comes up out of the water is turned back by its surface the flatter it is looked at (Schlick's
/// approximation of Fresnel's law); from far off on the water there is none of it to see.
fn dim_pool(
    rig: Res<Rig>,
    known: Res<Known>,
    pools: Query<&MeshMaterial3d<Ink>, With<Pool>>,
    mut inks: ResMut<Assets<Ink>>,
) {
    // Both halves share it.
    let Some(pool) = pools.iter().next() else { return };
    let from_boat = rig.eye - drawn(known.stance.middle());
    let steep = (from_boat.y / from_boat.length().max(0.1)).clamp(0.0, 1.0);
    Ink::dim(&mut inks, &pool.0, 1.0 - (1.0 - steep).powi(5));
}
