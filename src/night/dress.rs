//! Gives hull, parts and lamps their meshes, and lays their light on the water. Worked out afresh only when what is
//! known of the boat changes.

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::{
    Body, FittedLamp, Half, Known, Rig, Steps, bake,
    frame::{drawn, level, lying},
    known::Both,
    paint::{Facets, Ink},
    sea,
};

/// Draws the boat.
pub struct DressPlugin;

impl Plugin for DressPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, lay_pool)
            .add_systems(Update, (dress_bodies, dress_lamps, light_pool, dim_pool, veil, sink).in_set(Steps::Draw));
    }
}

#[derive(Resource)]
struct Cloth(Handle<Facets>);

#[derive(Component)]
struct Pool;

fn lay_pool(
    mut commands: Commands,
    mut inks: ResMut<Assets<Ink>>,
    mut facets: ResMut<Assets<Facets>>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    commands.insert_resource(Cloth(facets.add(Facets { rim: LinearRgba::rgb(0.010, 0.014, 0.021), air: Vec4::ZERO })));
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
    let air = sea::air(&known);
    if known.is_changed()
        && facets.get(&cloth.0).is_some_and(|facets| facets.air != air)
        && let Some(mut facets) = facets.get_mut(&cloth.0)
    {
        facets.air = air;
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
                MeshMaterial3d(cloth.0.clone()),
                NoFrustumCulling,
            ));
        }
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
                MeshMaterial3d(cloth.0.clone()),
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
