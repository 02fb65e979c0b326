//! The typesetter: the template, the faces and the data, and nothing else.
//!
//! Main function: [`print`]. The templates, what they share and the three faces are part of the program; the only other
//! file that a template can see is the data of this one sheet. There is no clock: the document's date comes with the
//! data, and the same data give the same bytes.

use std::sync::LazyLock;

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

use crate::SheetError;

/// A document's template.
#[derive(Debug, Clone, Copy)]
pub(super) enum Template {
    /// The sheet of a job.
    Job,
    /// The sheet of a balance weight.
    Weight,
}

impl Template {
    fn file(self) -> (&'static str, &'static str) {
        match self {
            Self::Job => ("sheet.typ", include_str!("sheet.typ")),
            Self::Weight => ("weight.typ", include_str!("weight.typ")),
        }
    }
}

const FACES: [&[u8]; 3] =
    [crate::REGULAR, crate::SEMI_BOLD, include_bytes!("../../fonts/SourceSans3-Italic.ttf")];

/// How many documents a memoised result outlives.
const KEEP: usize = 10;

/// What every document shares.
struct Shop {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

static SHOP: LazyLock<Shop> = LazyLock::new(|| {
    let fonts: Vec<_> = FACES.iter().flat_map(|face| Font::iter(Bytes::new(*face))).collect();
    Shop {
        library: LazyHash::new(Library::default()),
        book: LazyHash::new(FontBook::from_fonts(&fonts)),
        fonts,
    }
});

/// Whether every face has a glyph for a character, and the character means the same everywhere.
pub(super) fn has_glyph(character: char) -> bool {
    if matches!(character, '\u{e000}'..='\u{f8ff}' | '\u{feff}') {
        return false;
    }
    SHOP.fonts.iter().all(|font| font.info().coverage.contains(u32::from(character)))
}

/// What the templates share.
const COMMON: (&str, &str) = ("common.typ", include_str!("common.typ"));

/// One sheet's files.
struct Job {
    template: Source,
    common: Source,
    data_id: FileId,
    data: Bytes,
}

impl World for Job {
    fn library(&self) -> &LazyHash<Library> {
        &SHOP.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &SHOP.book
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let sources = [&self.template, &self.common];
        sources.into_iter().find(|source| source.id() == id).cloned().ok_or_else(|| missing(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == self.data_id { Ok(self.data.clone()) } else { Err(missing(id)) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        SHOP.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}

fn file_id(path: &str) -> Result<FileId, SheetError> {
    let path =
        VirtualPath::new(path).map_err(|error| SheetError::Setting { why: format!("{path}: {error:?}") })?;
    Ok(FileId::new(RootedPath::new(VirtualRoot::Project, path)))
}

/// Whether a day is in the calendar.
pub(super) fn is_day(year: i32, month: u8, day: u8) -> bool {
    Datetime::from_ymd(year, month, day).is_some()
}

/// Sets the sheet; `name` tells one document from another in the file's own identifier.
pub(super) fn print(template: Template, data: Vec<u8>, name: &str) -> Result<Vec<u8>, SheetError> {
    let source = |(path, text): (&str, &str)| Ok(Source::new(file_id(path)?, text.to_owned()));
    let (template, common) = (source(template.file())?, source(COMMON)?);
    let job = Job { template, common, data_id: file_id("data.json")?, data: Bytes::new(data) };
    let pdf = set(&job, name);
    typst::comemo::evict(KEEP);
    pdf
}

/// What the file promises, the most first: for the archive and for readers who do not see; for those readers;
/// nothing. An undated sheet, for one, cannot promise the first.
const PROMISES: [&[PdfStandard]; 3] = [&[PdfStandard::A_2a, PdfStandard::Ua_1], &[PdfStandard::Ua_1], &[]];

fn set(job: &Job, name: &str) -> Result<Vec<u8>, SheetError> {
    let document: PagedDocument = typst::compile(job).output.map_err(|errors| failed(&errors))?;
    let mut result = Err(SheetError::Setting { why: "no kind of file fits".into() });
    for promise in PROMISES {
        result = file(&document, name, promise);
        if result.is_ok() {
            break;
        }
    }
    result
}

fn file(document: &PagedDocument, name: &str, promise: &[PdfStandard]) -> Result<Vec<u8>, SheetError> {
    let standards = PdfStandards::new(promise)
        .map_err(|error| SheetError::Setting { why: error.message().to_string() })?;
    let options = PdfOptions {
        ident: Smart::Custom(name.to_owned()),
        creator: Smart::Custom(Some("Hingeline".into())),
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(document, &options).map_err(|errors| failed(&errors))
}

fn failed(errors: &[SourceDiagnostic]) -> SheetError {
    let lines: Vec<_> = errors.iter().map(|error| error.message.to_string()).collect();
    SheetError::Setting { why: lines.join("\n") }
}
