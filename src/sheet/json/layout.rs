//! How the JSON is laid out: a line for each key and for each object in a list; lists of plain values on one line, so
//! that seven hundred bearings do not take seven hundred lines.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};

/// Any value, laid out so, with a line end after it.
pub(in crate::sheet) fn to_string(value: &impl Serialize) -> String {
    let mut bytes = Vec::new();
    if let Err(error) = value.serialize(&mut Serializer::with_formatter(&mut bytes, Layout::default())) {
        // Writing to memory cannot fail, and every key is a word.
        unreachable!("plain data is always written: {error}");
    }
    bytes.push(b'\n');
    // serde_json writes nothing but UTF-8.
    String::from_utf8_lossy(&bytes).into_owned()
}

/// What has been opened and not yet closed.
enum Open {
    Object,
    /// A list, and whether an object stood in it.
    List {
        of_objects: bool,
    },
}

#[derive(Default)]
struct Layout {
    open: Vec<Open>,
}

impl Layout {
    fn line<W: ?Sized + Write>(&self, out: &mut W) -> io::Result<()> {
        out.write_all(b"\n")?;
        self.open.iter().filter(|one| matches!(one, Open::Object)).try_for_each(|_| out.write_all(b"  "))
    }
}

impl Formatter for Layout {
    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        if let Some(Open::List { of_objects }) = self.open.last_mut() {
            *of_objects = true;
            self.line(out)?;
        }
        self.open.push(Open::Object);
        out.write_all(b"{")
    }

    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open.pop();
        self.line(out)?;
        out.write_all(b"}")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        if !first {
            out.write_all(b",")?;
        }
        self.line(out)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        out.write_all(b": ")
    }

    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open.push(Open::List { of_objects: false });
        out.write_all(b"[")
    }

    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        if let Some(Open::List { of_objects: true }) = self.open.pop() {
            self.line(out)?;
        }
        out.write_all(b"]")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Serialize)]
    struct Inner {
        numbers: Vec<f64>,
    }

    #[test]
    fn plain_lists_stay_on_one_line_and_objects_do_not() {
        let value = vec![Inner { numbers: vec![1.0, 2.5] }, Inner { numbers: vec![] }];
        let text = to_string(&value);
        assert_eq!(text, "[\n{\n  \"numbers\": [1.0,2.5]\n},\n{\n  \"numbers\": []\n}\n]\n");
    }
}
