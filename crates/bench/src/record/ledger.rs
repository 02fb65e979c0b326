//! The chain: each entry holds the hash of the one before it in its ledger, and the whole shop is one more chain
//! over all entries, so that a changed, missing or cut-off entry shows.
//!
//! Main types: [`Entry`], [`Stored`], [`struct@Hash`]. [`Heads::take`] names the first entry that does not fit. A chain cannot
//! show that its own last entries were cut off together; the newest hash is printed on every sheet for that.
//! Hash: BLAKE3 in its key derivation mode with a context of our own; every field is preceded by its length.

use std::collections::BTreeMap;
use std::fmt;

/// A hash, 32 bytes, printed in hexadecimal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Hash(pub [u8; 32]);

impl Hash {
    /// The hexadecimal text.
    #[must_use]
    pub fn hex(&self) -> String {
        blake3::Hash::from_bytes(self.0).to_hex().to_string()
    }
    /// Reads the hexadecimal text; none where it is not one.
    #[must_use]
    pub fn from_hex(text: &str) -> Option<Self> {
        blake3::Hash::from_hex(text).ok().map(|hash| Self(*hash.as_bytes()))
    }
    /// The first sixteen characters, in groups of four: enough for a person to compare.
    #[must_use]
    pub fn short(&self) -> String {
        let hex = self.hex();
        [&hex[..4], &hex[4..8], &hex[8..12], &hex[12..16]].join(" ")
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.hex())
    }
}

/// One entry of one ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The ledger: "shop", or "job HP-0231".
    pub ledger: String,
    /// Its place in that ledger, from 1.
    pub number: u64,
    /// When, UTC, RFC 3339.
    pub at: String,
    /// Who: the name of a person of the shop.
    pub by: String,
    /// What: a deed as JSON, exactly as it was sealed.
    pub body: String,
    /// The seal over all of that and the entry before.
    pub hash: Hash,
}

/// An entry at its place in the whole shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stored {
    /// Its place among all entries of the shop, from 1.
    pub place: u64,
    /// The entry.
    pub entry: Entry,
    /// The chain over all entries up to here.
    pub shop_hash: Hash,
}

/// The seal of an entry.
#[must_use]
pub fn seal(previous: &Hash, ledger: &str, number: u64, at: &str, by: &str, body: &str) -> Hash {
    let mut hasher = blake3::Hasher::new_derive_key("hingeline ledger entry 1");
    let number = number.to_le_bytes();
    for field in [&previous.0[..], ledger.as_bytes(), &number, at.as_bytes(), by.as_bytes(), body.as_bytes()]
    {
        hasher.update(&(field.len() as u64).to_le_bytes());
        hasher.update(field);
    }
    Hash(*hasher.finalize().as_bytes())
}

/// The next hash of the chain over the whole shop.
#[must_use]
pub fn link(previous: &Hash, entry: &Hash) -> Hash {
    let mut hasher = blake3::Hasher::new_derive_key("hingeline shop chain 1");
    hasher.update(&previous.0);
    hasher.update(&entry.0);
    Hash(*hasher.finalize().as_bytes())
}

/// The first entry that does not fit its chain.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("entry {number} of {ledger} (place {place}) does not fit: {why}")]
pub struct Misfit {
    /// Its place in the shop.
    pub place: u64,
    /// Its ledger, as stored.
    pub ledger: String,
    /// Its number, as stored.
    pub number: u64,
    /// What does not fit.
    pub why: &'static str,
}

/// The newest hash of the shop and of each ledger.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Heads {
    /// How many entries there are.
    pub entries: u64,
    /// Of the chain over the whole shop.
    pub shop: Hash,
    /// Of each ledger: how many entries, newest hash.
    pub ledgers: BTreeMap<String, (u64, Hash)>,
}

impl Heads {
    /// Takes the next entry in, or says why it does not fit.
    ///
    /// # Errors
    /// - [`Misfit`]: a place or number is left out or twice there, or a seal is not that of the entry
    pub fn take(&mut self, stored: &Stored) -> Result<(), Misfit> {
        let entry = &stored.entry;
        let before = self.ledgers.get(&entry.ledger).copied().unwrap_or_default();
        let linked = link(&self.shop, &entry.hash);
        if stored.place != self.entries + 1 {
            return Err(Misfit::of(stored, "an entry before it is missing"));
        }
        follows(before, stored)?;
        if linked != stored.shop_hash {
            return Err(Misfit::of(stored, "the chain of the shop does not lead to it"));
        }
        self.entries += 1;
        self.shop = linked;
        self.ledgers.insert(entry.ledger.clone(), (entry.number, entry.hash));
        Ok(())
    }
}

impl Misfit {
    fn of(stored: &Stored, why: &'static str) -> Self {
        let Entry { ledger, number, .. } = &stored.entry;
        Self { place: stored.place, ledger: ledger.clone(), number: *number, why }
    }
}

/// Whether an entry follows the one before in its ledger, of which number and seal are given (zeros before the first).
///
/// This is the chain of one ledger alone; [`Heads::take`] checks that of the whole shop with it.
///
/// # Errors
/// - [`Misfit`]: a number is left out or twice there, or the seal is not that of the entry
pub fn follows((number, previous): (u64, Hash), stored: &Stored) -> Result<(), Misfit> {
    let entry = &stored.entry;
    if entry.number != number + 1 {
        return Err(Misfit::of(stored, "its number does not follow the one before"));
    }
    if seal(&previous, &entry.ledger, entry.number, &entry.at, &entry.by, &entry.body) != entry.hash {
        return Err(Misfit::of(stored, "its seal is not that of its content"));
    }
    Ok(())
}

/// What an entry is written from: everything but number and seals.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// The ledger.
    pub ledger: String,
    /// When, UTC, RFC 3339.
    pub at: String,
    /// Who.
    pub by: String,
    /// What, as JSON.
    pub body: String,
}

impl Heads {
    /// Seals a draft as the next entry of its ledger and of the shop, and takes it in.
    pub fn append(&mut self, draft: Draft) -> Stored {
        let (number, previous) = self.ledgers.get(&draft.ledger).copied().unwrap_or_default();
        let number = number + 1;
        let Draft { ledger, at, by, body } = draft;
        let hash = seal(&previous, &ledger, number, &at, &by, &body);
        self.entries += 1;
        self.shop = link(&self.shop, &hash);
        self.ledgers.insert(ledger.clone(), (number, hash));
        Stored {
            place: self.entries,
            shop_hash: self.shop,
            entry: Entry { ledger, number, at, by, body, hash },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shop() -> Vec<Stored> {
        let mut heads = Heads::default();
        let draft = |ledger: &str, body: &str| Draft {
            ledger: ledger.to_owned(),
            at: "2026-10-02T08:00:00Z".to_owned(),
            by: "M. Tarn".to_owned(),
            body: body.to_owned(),
        };
        ["shop one", "job two", "shop three", "job four", "job five"]
            .into_iter()
            .map(|text| {
                let (ledger, body) = text.split_once(' ').expect("two words");
                heads.append(draft(ledger, body))
            })
            .collect()
    }

    fn verify(entries: &[Stored]) -> Result<Heads, Misfit> {
        let mut heads = Heads::default();
        entries.iter().try_for_each(|stored| heads.take(stored)).map(|()| heads)
    }

    #[test]
    fn an_untouched_chain_fits() {
        let heads = verify(&shop()).expect("it fits");
        assert_eq!(heads.entries, 5);
        assert_eq!(heads.ledgers["job"].0, 3);
    }

    #[test]
    fn every_kind_of_change_is_named() {
        let change = |index: usize, what: &dyn Fn(&mut Stored)| {
            let mut entries = shop();
            what(&mut entries[index]);
            verify(&entries).expect_err("a misfit").place
        };
        for index in 0..5 {
            let place = index as u64 + 1;
            assert_eq!(change(index, &|e| e.entry.body.push('x')), place);
            assert_eq!(change(index, &|e| e.entry.by.push('x')), place);
            assert_eq!(change(index, &|e| e.entry.at.push('x')), place);
            assert_eq!(change(index, &|e| e.entry.ledger.push('x')), place);
            assert_eq!(change(index, &|e| e.entry.hash.0[3] ^= 1), place);
            assert_eq!(change(index, &|e| e.shop_hash.0[3] ^= 1), place);
            assert_eq!(change(index, &|e| e.entry.number += 1), place);
        }
    }

    #[test]
    fn a_missing_or_moved_entry_is_named() {
        let mut entries = shop();
        entries.remove(2);
        assert_eq!(verify(&entries).expect_err("a misfit").place, 4);
        let mut entries = shop();
        entries.swap(1, 3);
        assert_eq!(verify(&entries).expect_err("a misfit").place, 4);
    }

    #[test]
    fn a_text_cannot_slide_from_one_field_into_the_next() {
        let nothing = Hash::default();
        assert_ne!(seal(&nothing, "job", 1, "a", "bc", "d"), seal(&nothing, "job", 1, "ab", "c", "d"));
    }
}
