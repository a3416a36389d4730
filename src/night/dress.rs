//! Gives hull, parts and lamps their meshes, and lays their light on the water. Worked out afresh only when what is
//! known of the boat changes.

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::{
    Body, FittedLamp, Known, Regarded, Rig, Steps, bake,
    frame::drawn,
    paint::{Facets, Ink},
    ring::ACCENT,
};

/// Draws the boat.
pub struct DressPlugin;

impl Plugin for DressPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, lay_pool).add_systems(
            Update,
            ((dress_bodies, point_out).chain(), dress_lamps, light_pool, dim_pool).in_set(Steps::Draw),
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
    let plain = Facets { rim: LinearRgba::rgb(0.010, 0.014, 0.021), glow: LinearRgba::BLACK };
    let lit = Facets { rim: ACCENT, glow: ACCENT * 0.28 };
    commands.insert_resource(Cloth { plain: facets.add(plain), lit: facets.add(lit) });
    commands.spawn((
        Name::new("light on the water"),
        Pool,
        Mesh3d(meshes.add(super::paint::Pen::default().mesh())),
        MeshMaterial3d(inks.add(Ink::layer(0))),
        NoFrustumCulling,
        Transform::default(),
    ));
}

fn dress_bodies(
    mut commands: Commands,
    known: Res<Known>,
    cloth: Res<Cloth>,
    mut meshes: ResMut<Assets<Mesh>>,
    bare: Query<(Entity, &Body), Added<Body>>,
) {
    for (entity, body) in &bare {
        if let Some(mesh) = bake::body(&known, body.0) {
            commands.entity(entity).insert((
                Mesh3d(meshes.add(mesh)),
                MeshMaterial3d(cloth.plain.clone()),
                NoFrustumCulling,
            ));
        }
    }
}

/// The part whose shadows are looked at stands out, and goes back when they are not.
fn point_out(
    regarded: Res<Regarded>,
    cloth: Res<Cloth>,
    mut bodies: Query<(&Body, Ref<Body>, &mut MeshMaterial3d<Facets>)>,
) {
    if !regarded.is_changed() && bodies.iter().all(|(_, body, _)| !body.is_added()) {
        return;
    }
    let owner = regarded.0.as_ref().and_then(|regard| regard.owner);
    for (body, _, mut worn) in &mut bodies {
        worn.set_if_neq(MeshMaterial3d(if Some(body.0) == owner { cloth.lit.clone() } else { cloth.plain.clone() }));
    }
}

fn dress_lamps(
    mut commands: Commands,
    known: Res<Known>,
    cloth: Res<Cloth>,
    mut meshes: ResMut<Assets<Mesh>>,
    bare: Query<(Entity, &FittedLamp), Added<FittedLamp>>,
) {
    for (entity, lamp) in &bare {
        if let Some(mesh) = bake::housing(&known, lamp.index) {
            commands.entity(entity).insert((
                Mesh3d(meshes.add(mesh)),
                MeshMaterial3d(cloth.plain.clone()),
                NoFrustumCulling,
            ));
        }
    }
}

fn light_pool(known: Res<Known>, mut meshes: ResMut<Assets<Mesh>>, mut pool: Single<&mut Mesh3d, With<Pool>>) {
    if known.is_changed() {
        pool.0 = meshes.add(bake::pool(&known));
    }
}

/// Light that comes up out of the water is turned back by its surface the flatter it is looked at (Schlick's
/// approximation of Fresnel's law); from far off on the water there is none of it to see.
fn dim_pool(
    rig: Res<Rig>,
    known: Res<Known>,
    pool: Single<&MeshMaterial3d<Ink>, With<Pool>>,
    mut inks: ResMut<Assets<Ink>>,
) {
    let from_boat = rig.eye - drawn(known.stance.middle());
    let steep = (from_boat.y / from_boat.length().max(0.1)).clamp(0.0, 1.0);
    Ink::dim(&mut inks, &pool.0, 1.0 - (1.0 - steep).powi(5));
}
