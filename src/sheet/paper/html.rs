//! The same sheets as one HTML file: no script, nothing fetched, fit for a telephone in the workshop and for a printer.

use std::fmt::Write;

use super::{Block, Cell, Drawing, Paper, Section, Table, ink::escaped};

const STYLE: &str = "\
:root{color-scheme:light}
body{font:1.05rem/1.45 'Atkinson Hyperlegible',Verdana,'DejaVu Sans',sans-serif;color:#1d2126;background:#fff;max-width:62rem;margin:0 auto;padding:1rem}
header{border-bottom:2px solid #1f4f63;margin-bottom:1rem}header p{margin:.2rem 0}
h1{font-size:1.7rem;margin:.3rem 0}
h2{font-size:1.3rem;color:#1f4f63;background:#e9f0f2;border-left:.45rem solid #1f4f63;padding:.4rem .7rem;margin:2rem 0 .8rem}
h3{font-size:1.12rem;color:#1f4f63;margin:1.4rem 0 .4rem}
table{border-collapse:collapse;width:100%;margin:.6rem 0}
th{background:#e9f0f2;color:#1f4f63;text-align:left;border-bottom:2px solid #1f4f63}
th,td{padding:.3rem .45rem;vertical-align:top}td{border-bottom:1px solid #a9b8be}
dl{display:grid;grid-template-columns:minmax(8rem,max-content) 1fr;gap:.25rem 1rem;margin:.6rem 0}dt{font-weight:bold}dd{margin:0}
.beware{background:#fbf1dc;border-left:.45rem solid #b87a12;padding:.5rem .8rem;margin:.8rem 0}
.ticks{list-style:none;padding:0}.box{display:inline-block;width:.85em;height:.85em;border:1.5px solid #1d2126;margin-right:.55em;vertical-align:-.05em}
figure{display:inline-block;margin:.6rem 1rem .6rem 0;vertical-align:top;max-width:100%;overflow-x:auto}
.lines{display:grid;grid-template-columns:1fr 1fr;gap:0 2rem}.lines p{border-top:1px solid #1d2126;margin:2.6rem 0 0}
.wide{overflow-x:auto}
footer{border-top:1px solid #a9b8be;margin-top:2rem;padding-top:.5rem}
@media print{body{max-width:none;padding:0}h2,h3{break-after:avoid}tr,figure{break-inside:avoid}thead{display:table-header-group}}
";

/// The whole set.
pub fn html(paper: &Paper) -> String {
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" \
         content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n",
        escaped(&paper.title)
    );
    let _ = writeln!(
        out,
        "<header>\n<p><strong>{}</strong> · {}</p>\n<p>{}</p>\n</header>\n<h1>{}</h1>",
        escaped(&paper.head.0),
        escaped(&paper.head.1),
        escaped(&paper.below_head),
        escaped(&paper.title)
    );
    paper.sections.iter().for_each(|one| section(&mut out, one));
    let _ = writeln!(
        out,
        "<footer><p>{}</p>\n<p>{}</p></footer>\n</body>\n</html>",
        escaped(&paper.caution),
        escaped(&paper.foot)
    );
    out
}

fn section(out: &mut String, section: &Section) {
    let _ = writeln!(out, "<section>\n<h2>{}</h2>", escaped(&section.title));
    section.blocks.iter().for_each(|one| block(out, one));
    out.push_str("</section>\n");
}

fn block(out: &mut String, block: &Block) {
    let _ = match block {
        Block::Heading(words) => writeln!(out, "<h3>{}</h3>", escaped(words)),
        Block::Words(words) => writeln!(out, "<p>{}</p>", escaped(words)),
        Block::Beware(words) => writeln!(out, "<p class=\"beware\">{}</p>", escaped(words)),
        Block::Facts(facts) => {
            let rows =
                facts.iter().map(|(name, told)| format!("<dt>{}</dt><dd>{}</dd>\n", escaped(name), escaped(told)));
            writeln!(out, "<dl>\n{}</dl>", rows.collect::<String>())
        }
        Block::Points(points) => {
            let rows = points.iter().map(|point| format!("<li>{}</li>\n", escaped(point)));
            writeln!(out, "<ul>\n{}</ul>", rows.collect::<String>())
        }
        Block::Ticks(ticks) => {
            let rows = ticks.iter().map(|tick| format!("<li><span class=\"box\"></span>{}</li>\n", escaped(tick)));
            writeln!(out, "<ul class=\"ticks\">\n{}</ul>", rows.collect::<String>())
        }
        Block::Table(given) => writeln!(out, "{}", table(given)),
        Block::Drawings(drawings) => writeln!(out, "<div>{}</div>", drawings.iter().map(figure).collect::<String>()),
        Block::CheckBar => writeln!(out, "<div>{}</div>", figure(&bar())),
        Block::Lines(names) => {
            let lines = names.iter().map(|name| format!("<p>{}</p>\n", escaped(name)));
            writeln!(out, "<div class=\"lines\">\n{}</div>", lines.collect::<String>())
        }
    };
}

fn table(table: &Table) -> String {
    let head: String = table.heads.iter().map(|head| format!("<th>{}</th>", escaped(head))).collect();
    let field = |cell: &Cell| match cell {
        Cell::Words(words) => format!("<td>{}</td>", escaped(words)),
        Cell::Tick(words) => format!("<td><span class=\"box\"></span>{}</td>", escaped(words)),
    };
    let rows: String =
        table.rows.iter().map(|row| format!("<tr>{}</tr>\n", row.iter().map(field).collect::<String>())).collect();
    format!("<div class=\"wide\"><table>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table></div>")
}

fn figure(drawing: &Drawing) -> String {
    let Drawing { name, width, height, elements, true_scale } = drawing;
    let caption = if *true_scale { String::new() } else { format!("<figcaption>{}</figcaption>", escaped(name)) };
    format!(
        "<figure><svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"{}\" width=\"{width}mm\" \
         height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" font-family=\"'Atkinson Hyperlegible', Verdana, sans-serif\">\
         {elements}</svg>{caption}</figure>\n",
        escaped(name)
    )
}

/// The check bar as a drawing.
fn bar() -> Drawing {
    let marks: String = (1..10).map(|n| format!("M{} 4 v4 ", 1 + 10 * n)).collect();
    let elements = format!(
        "<path d=\"M1 8 h100 M1.2 2 v6 M100.8 2 v6 {marks}\" fill=\"none\" stroke=\"#1d2126\" stroke-width=\"0.4\"/>"
    );
    let name = "100 mm: measure this bar on the print".into();
    Drawing { name, width: 104.0, height: 10.0, elements, true_scale: false }
}
