//! Damaged and hostile files: refused in words, or a body.

use super::formats::model;
use super::formats::package;
use super::*;

/// Whatever was read is a body; whatever was refused says so in words.
fn assert_sober(bytes: &[u8]) {
    match Mesh::read(bytes, MILLIMETRE) {
        Ok(body) => {
            assert!(0.0 < body.moments.total && body.moments.total.is_finite());
            assert!(body.mesh.clone().checked(MILLIMETRE).is_ok());
        }
        Err(fault) => assert!(!fault.to_string().is_empty() && !fault.hint().is_empty()),
    }
}

proptest! {
    #![proptest_config(seeded(200))]

    #[test]
    fn random_bytes_never_panic(start in 0usize..5, bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        let starts: [&[u8]; 5] = [b"", b"solid ", b"PK\x03\x04", b"v 0 0 0\nf ", &[b' '; 80]];
        assert_sober(&[starts[start], &bytes].concat());
    }

    #[test]
    fn damaged_files_never_panic(
        which in 0usize..5,
        cut in 0.0..1.0f64,
        flips in prop::collection::vec((any::<prop::sample::Index>(), 0u8..8), 0..6),
    ) {
        let obj = b"v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n";
        let inside = model("meter", "", "<item objectid=\"1\"/>");
        let whole = [CUBE, CUBE_TEXT, obj.as_slice(), inside.as_slice(), STAR][which];
        // Half of the files keep their length.
        let keep = (whole.len() as f64 * (2.0 * cut).min(1.0)).round();
        let mut bytes: Vec<u8> = whole.iter().enumerate().filter(|(at, _)| (*at as f64) < keep).map(|(_, b)| *b).collect();
        for (at, bit) in flips {
            if !bytes.is_empty() {
                let at = at.index(bytes.len());
                bytes[at] ^= 1 << bit;
            }
        }
        assert_sober(&bytes);
    }

    #[test]
    fn damaged_models_inside_a_whole_container_never_panic(
        flips in prop::collection::vec((any::<prop::sample::Index>(), 0u8..7), 1..6),
    ) {
        let text = "<model unit=\"meter\"><object id=\"1\"><mesh><vertex x=\"0\" y=\"0\" z=\"0\"/><triangle v1=\"0\" \
                    v2=\"0\" v3=\"0\"/></mesh></object><build><item objectid=\"1\" transform=\"1 0 0 0 1 0 0 0 1 0 0 0\"/>\
                    </build></model>";
        let mut bytes = text.as_bytes().to_vec();
        for (at, bit) in flips {
            let at = at.index(bytes.len());
            bytes[at] ^= 1 << bit;
        }
        assert_sober(&package(&String::from_utf8_lossy(&bytes)));
    }
}
