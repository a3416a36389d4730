//! Pages as PDF: each SVG page becomes one of the same size, with its words as words.

use std::{fmt, sync::Arc};

use krilla::{Document, geom::Size as PageSize, metadata::Metadata, page::PageSettings};
use krilla_svg::{SurfaceExt, SvgSettings};
use usvg::{Options, Tree};

use super::{
    Paper,
    face::{BOLD, FAMILY, REGULAR},
    pages,
};

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// Why there is no PDF.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoPdf(String);

impl fmt::Display for NoPdf {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "the sheets cannot be made into a PDF: {}", self.0)
    }
}

impl std::error::Error for NoPdf {}

/// All pages of a set. The same set gives the same bytes.
///
/// # Errors
/// When a page or the whole cannot be written as PDF, which is a fault of this program.
pub fn pdf(paper: &Paper) -> Result<Vec<u8>, NoPdf> {
    let options = options();
    let (wide, high) = paper.size.millimetres();
    let size = PageSize::from_wh((wide * POINTS) as f32, (high * POINTS) as f32);
    let size = size.ok_or_else(|| NoPdf("the paper has no size".into()))?;
    let mut document = Document::new();
    document.set_metadata(Metadata::new().title(paper.title.clone()).creator(paper.foot.clone()));
    for (n, page) in pages(paper).iter().enumerate() {
        let failed = |why: String| NoPdf(format!("page {}: {why}", n + 1));
        let tree = Tree::from_str(page, &options).map_err(|error| failed(error.to_string()))?;
        let settings = PageSettings::from_wh(size.width(), size.height());
        let mut sheet = document.start_page_with(settings.ok_or_else(|| failed("it has no size".into()))?);
        let mut surface = sheet.surface();
        let drawn = surface.draw_svg(&tree, size, SvgSettings::default());
        surface.finish();
        sheet.finish();
        drawn.ok_or_else(|| failed("it cannot be drawn".into()))?;
    }
    document.finish().map_err(|error| NoPdf(format!("{error:?}")))
}

/// The sheets' own typeface and no other, so that they look the same on every machine.
fn options() -> Options<'static> {
    let mut options = Options { font_family: FAMILY.into(), ..Options::default() };
    let fonts = options.fontdb_mut();
    fonts.load_font_source(usvg::fontdb::Source::Binary(Arc::new(REGULAR)));
    fonts.load_font_source(usvg::fontdb::Source::Binary(Arc::new(BOLD)));
    fonts.set_sans_serif_family(FAMILY);
    fonts.set_serif_family(FAMILY);
    options
}
