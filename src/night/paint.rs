//! The materials everything is drawn with, and a pen that puts plain figures into a mesh.
//!
//! All shaders are small and unlit: light is worked out beforehand and comes as vertex colours, so that software
//! rendering keeps up. Every see-through colour is premultiplied: alpha nought adds light, alpha one covers.

use bevy::{
    asset::{RenderAssetUsages, load_internal_asset, uuid_handle},
    mesh::{Indices, MeshVertexBufferLayoutRef, PrimitiveTopology},
    pbr::{MaterialPipeline, MaterialPipelineKey},
    prelude::*,
    reflect::TypePath,
    render::render_resource::{
        AsBindGroup, CompareFunction, RenderPipelineDescriptor, ShaderType, SpecializedMeshPipelineError,
    },
    shader::{Shader, ShaderDefVal, ShaderRef},
};

const FACETS: Handle<Shader> = uuid_handle!("6f3a1f0e-8a42-4b61-9d51-2f8f5a0b7c01");
const INK: Handle<Shader> = uuid_handle!("6f3a1f0e-8a42-4b61-9d51-2f8f5a0b7c02");
const GLARE: Handle<Shader> = uuid_handle!("6f3a1f0e-8a42-4b61-9d51-2f8f5a0b7c03");
const SEA: Handle<Shader> = uuid_handle!("6f3a1f0e-8a42-4b61-9d51-2f8f5a0b7c04");

/// Loads the shaders and registers the materials.
pub struct PaintPlugin;

impl Plugin for PaintPlugin {
    fn build(&self, app: &mut App) {
        load_internal_asset!(app, FACETS, "../../assets/shaders/facets.wgsl", Shader::from_wgsl);
        load_internal_asset!(app, INK, "../../assets/shaders/ink.wgsl", Shader::from_wgsl);
        load_internal_asset!(app, GLARE, "../../assets/shaders/glare.wgsl", Shader::from_wgsl);
        load_internal_asset!(app, SEA, "../../assets/shaders/sea.wgsl", Shader::from_wgsl);
        app.add_plugins((
            MaterialPlugin::<Facets>::default(),
            MaterialPlugin::<Ink>::default(),
            MaterialPlugin::<Glare>::default(),
            MaterialPlugin::<Sea>::default(),
        ));
    }
}

/// The boat's solids: vertex colours are the light they give off; edges take a little of the sky. What is under
/// water is not drawn.
#[derive(Asset, TypePath, AsBindGroup, Clone, Debug)]
pub struct Facets {
    /// What edges take of the sky.
    #[uniform(0)]
    pub rim: LinearRgba,
    /// What is added all over, of what is pointed out.
    #[uniform(0)]
    pub glow: LinearRgba,
    /// The air before them, as of [`Water::air`].
    #[uniform(1)]
    pub air: Vec4,
}

impl Material for Facets {
    fn fragment_shader() -> ShaderRef {
        FACETS.into()
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }

    fn specialize(
        _: &MaterialPipeline,
        descriptor: &mut RenderPipelineDescriptor,
        _: &MeshVertexBufferLayoutRef,
        _: MaterialPipelineKey<Self>,
    ) -> Result<(), SpecializedMeshPipelineError> {
        // An open surface from a mesh file shows both its sides.
        descriptor.primitive.cull_mode = None;
        Ok(())
    }
}

/// Marks and light on the water: premultiplied vertex colours, hidden by what stands before them.
#[derive(Asset, TypePath, AsBindGroup, Clone, Debug)]
pub struct Ink {
    /// All of it times this.
    #[uniform(0)]
    pub strength: LinearRgba,
    /// What is drawn later lies on top: 0, 1, 2 and so on.
    pub layer: u8,
}

impl Ink {
    /// At full strength.
    pub fn layer(layer: u8) -> Self {
        Self { strength: LinearRgba::WHITE, layer }
    }

    /// Sets how strong an ink is, in `[0, 1]`; a change too small to see is left, as each costs the renderer work.
    pub fn dim(inks: &mut Assets<Self>, ink: &Handle<Self>, strength: f32) {
        let now = inks.get(ink).map_or(strength, |ink| ink.strength.alpha);
        if (now - strength).abs() > 0.004
            && let Some(mut ink) = inks.get_mut(ink)
        {
            ink.strength = LinearRgba::new(strength, strength, strength, strength);
        }
    }
}

/// Farther apart than anything in the picture, so that layers keep their order from every side.
const LAYER_STEP: f32 = 20_000.0;

impl Material for Ink {
    fn fragment_shader() -> ShaderRef {
        INK.into()
    }

    fn alpha_mode(&self) -> AlphaMode {
        AlphaMode::Premultiplied
    }

    fn depth_bias(&self) -> f32 {
        f32::from(self.layer) * LAYER_STEP
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }

    fn specialize(
        _: &MaterialPipeline,
        descriptor: &mut RenderPipelineDescriptor,
        _: &MeshVertexBufferLayoutRef,
        _: MaterialPipelineKey<Self>,
    ) -> Result<(), SpecializedMeshPipelineError> {
        descriptor.primitive.cull_mode = None;
        // The layers are for the order of drawing only: nothing may be pulled through the hull.
        if let Some(depth) = descriptor.depth_stencil.as_mut() {
            depth.bias.constant = 0;
        }
        Ok(())
    }
}

/// Lights as seen: drawn over everything, since whether they are hidden has been found already.
#[derive(Asset, TypePath, AsBindGroup, Clone, Debug, Default)]
pub struct Glare {}

impl Material for Glare {
    fn vertex_shader() -> ShaderRef {
        GLARE.into()
    }

    fn fragment_shader() -> ShaderRef {
        GLARE.into()
    }

    fn alpha_mode(&self) -> AlphaMode {
        AlphaMode::Premultiplied
    }

    fn depth_bias(&self) -> f32 {
        20.0 * LAYER_STEP
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }

    fn specialize(
        _: &MaterialPipeline,
        descriptor: &mut RenderPipelineDescriptor,
        _: &MeshVertexBufferLayoutRef,
        _: MaterialPipelineKey<Self>,
    ) -> Result<(), SpecializedMeshPipelineError> {
        descriptor.primitive.cull_mode = None;
        if let Some(depth) = descriptor.depth_stencil.as_mut() {
            depth.depth_compare = Some(CompareFunction::Always);
            depth.depth_write_enabled = Some(false);
            depth.bias.constant = 0;
        }
        Ok(())
    }
}

/// As many lights as the water mirrors.
pub const MIRRORED: usize = 12;

/// What the sea and the sky are drawn from.
#[derive(ShaderType, Clone, Debug)]
pub struct Water {
    /// Seconds since the waves began.
    pub time: f32,
    /// Height of a pixel, radians.
    pub pixel: f32,
    /// How many of the lights are in use; the others are dark.
    pub count: u32,
    /// Side of the squares of sky that hold one star each, radians.
    pub star_square: f32,
    /// Toward the moon.
    pub moon: Vec4,
    /// Haze for each metre; the moon's strength; the shore's lights, 0 to 1; nothing.
    pub air: Vec4,
    /// Where each light stands.
    pub places: [Vec4; MIRRORED],
    /// Its colour times its strength.
    pub colours: [Vec4; MIRRORED],
}

/// The sky above the horizon, or the sea below it.
#[derive(Asset, TypePath, AsBindGroup, Clone, Debug)]
#[bind_group_data(SeaKey)]
pub struct Sea {
    #[uniform(0)]
    pub water: Water,
    pub sky: bool,
}

/// What of the sea's shader is wanted.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct SeaKey {
    sky: bool,
    shore: bool,
    /// How many lights the water mirrors at most. Known beforehand, a processor that draws goes through them much sooner.
    lights: u8,
}

impl From<&Sea> for SeaKey {
    fn from(sea: &Sea) -> Self {
        let lights = LIGHTS.into_iter().find(|most| u32::from(*most) >= sea.water.count).unwrap_or(MIRRORED as u8);
        Self { sky: sea.sky, shore: sea.water.air.z > 0.0, lights }
    }
}

/// Few enough that seldom a shader must be made anew while lights come and go; those that are too many are dark.
const LIGHTS: [u8; 5] = [0, 2, 4, 8, MIRRORED as u8];

impl Material for Sea {
    fn vertex_shader() -> ShaderRef {
        SEA.into()
    }

    fn fragment_shader() -> ShaderRef {
        SEA.into()
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }

    fn specialize(
        _: &MaterialPipeline,
        descriptor: &mut RenderPipelineDescriptor,
        _: &MeshVertexBufferLayoutRef,
        key: MaterialPipelineKey<Self>,
    ) -> Result<(), SpecializedMeshPipelineError> {
        let SeaKey { sky, shore, lights } = key.bind_group_data;
        let wanted = [("SKY", sky), ("SHORE", shore)].into_iter().filter(|(_, wanted)| *wanted);
        let lights = ShaderDefVal::UInt("LIGHTS".into(), lights.into());
        let defs: Vec<ShaderDefVal> = wanted.map(|(name, _)| name.into()).chain([lights]).collect();
        descriptor.vertex.shader_defs.extend(defs.clone());
        if let Some(fragment) = descriptor.fragment.as_mut() {
            fragment.shader_defs.extend(defs);
        }
        // Its depth is the farthest there is: whatever has been drawn stays before it.
        descriptor.primitive.cull_mode = None;
        if let Some(depth) = descriptor.depth_stencil.as_mut() {
            depth.depth_write_enabled = Some(false);
            depth.bias.constant = 0;
        }
        Ok(())
    }
}

/// Gathers plain figures into one mesh.
#[derive(Clone, Debug, Default)]
pub struct Pen {
    points: Vec<[f32; 3]>,
    colours: Vec<[f32; 4]>,
    places: Vec<[f32; 2]>,
    corners: Vec<u32>,
}

/// A flat sheet to draw on: where its middle is, and its ways to the right and up.
#[derive(Clone, Copy, Debug)]
pub struct Sheet {
    pub middle: Vec3,
    pub right: Vec3,
    pub up: Vec3,
}

impl Sheet {
    /// The sheet of the water, right being forward along the boat.
    pub const WATER: Self = Self { middle: Vec3::ZERO, right: Vec3::X, up: Vec3::NEG_Z };

    pub fn at(&self, place: Vec2) -> Vec3 {
        self.middle + self.right * place.x + self.up * place.y
    }
}

/// Straight sides that stand in for a small circle.
const SIDES: u32 = 24;

/// A colour that covers with the given share.
pub fn covering(colour: LinearRgba, share: f32) -> [f32; 4] {
    [colour.red * share, colour.green * share, colour.blue * share, share]
}

/// A colour that adds light and covers nothing.
pub fn glowing(colour: LinearRgba, strength: f32) -> [f32; 4] {
    [colour.red * strength, colour.green * strength, colour.blue * strength, 0.0]
}

impl Pen {
    pub fn vertex(&mut self, point: Vec3, colour: [f32; 4], place: Vec2) -> u32 {
        self.points.push(point.to_array());
        self.colours.push(colour);
        self.places.push(place.to_array());
        u32::try_from(self.points.len() - 1).unwrap_or(u32::MAX)
    }

    pub fn triangle(&mut self, corners: [u32; 3]) {
        self.corners.extend(corners);
    }

    /// A square whose texture places run from -1 to 1, for round glows and the like.
    pub fn square(&mut self, sheet: &Sheet, half: f32, colour: [f32; 4]) {
        let [a, b, c, d] = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| {
            let place = Vec2::new(x, y);
            self.vertex(sheet.at(place * half), colour, place)
        });
        self.triangle([a, b, c]);
        self.triangle([a, c, d]);
    }

    pub fn disc(&mut self, sheet: &Sheet, centre: Vec2, radius: f32, colour: [f32; 4]) {
        let middle = self.vertex(sheet.at(centre), colour, Vec2::ZERO);
        let first = middle + 1;
        for side in 0..SIDES {
            let angle = side as f32 / SIDES as f32 * std::f32::consts::TAU;
            self.vertex(sheet.at(centre + Vec2::from_angle(angle) * radius), colour, Vec2::ZERO);
            self.triangle([middle, first + side, first + (side + 1) % SIDES]);
        }
    }

    /// A circle of a given breadth of line. More sides for great circles.
    pub fn circle(&mut self, sheet: &Sheet, centre: Vec2, radius: f32, line: f32, colour: [f32; 4], sides: u32) {
        let start = u32::try_from(self.points.len()).unwrap_or(0);
        for side in 0..sides {
            let way = Vec2::from_angle(side as f32 / sides as f32 * std::f32::consts::TAU);
            for edge in [radius - line / 2.0, radius + line / 2.0] {
                self.vertex(sheet.at(centre + way * edge), colour, Vec2::ZERO);
            }
            let (here, next) = (start + side * 2, start + (side + 1) % sides * 2);
            self.triangle([here, here + 1, next + 1]);
            self.triangle([here, next + 1, next]);
        }
    }

    pub fn line(&mut self, sheet: &Sheet, from: Vec2, to: Vec2, line: f32, colours: [[f32; 4]; 2]) {
        let across = (to - from).perp().normalize_or_zero() * line / 2.0;
        let [near, far] = colours;
        let [a, b, c, d] = [(from - across, near), (to - across, far), (to + across, far), (from + across, near)]
            .map(|(place, colour)| self.vertex(sheet.at(place), colour, Vec2::ZERO));
        self.triangle([a, b, c]);
        self.triangle([a, c, d]);
    }

    /// A four-cornered face anywhere, its corners in order.
    pub fn face(&mut self, corners: [(Vec3, [f32; 4]); 4]) {
        let [a, b, c, d] = corners.map(|(point, colour)| self.vertex(point, colour, Vec2::ZERO));
        self.triangle([a, b, c]);
        self.triangle([a, c, d]);
    }

    /// A line anywhere, as two strips across one another, so that it is seen from every side.
    pub fn rod(&mut self, from: Vec3, to: Vec3, line: f32, colours: [[f32; 4]; 2]) {
        let along = (to - from).normalize_or_zero();
        let side = along.any_orthonormal_vector();
        for across in [side, along.cross(side)] {
            let half = across * line / 2.0;
            let [near, far] = colours;
            self.face([(from - half, near), (to - half, far), (to + half, far), (from + half, near)]);
        }
    }

    /// The mesh of all that was drawn; a point of no size when nothing was, since a mesh must hold something.
    pub fn mesh(mut self) -> Mesh {
        if self.is_empty() {
            let corner = self.vertex(Vec3::ZERO, [0.0; 4], Vec2::ZERO);
            self.triangle([corner; 3]);
        }
        let mut mesh = Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default());
        mesh.insert_attribute(Mesh::ATTRIBUTE_POSITION, self.points);
        mesh.insert_attribute(Mesh::ATTRIBUTE_COLOR, self.colours);
        mesh.insert_attribute(Mesh::ATTRIBUTE_UV_0, self.places);
        mesh.insert_indices(Indices::U32(self.corners));
        mesh
    }

    /// Whether nothing was drawn.
    pub fn is_empty(&self) -> bool {
        self.corners.is_empty()
    }
}
