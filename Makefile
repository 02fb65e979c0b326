# Two commands set everything up on a machine with the Rust toolchain: `make run` and `make test`.

.PHONY: run test lint coverage pictures screenshots bench

# Builds the program, runs the main job (the verdict in the terminal, the printed sheet in out/), then opens the demo
# shop for the browser and prints its address. (Status 1 says that the surface is outside its limits, which the demo's
# main job is.)
run:
	cargo build --release -p hingeline-cli
	mkdir -p out
	target/release/hingeline balance demo/HP-0231-elevator.toml --pdf out/HP-0231.pdf || [ $$? -eq 1 ]
	@echo
	@echo "The printed sheet: out/HP-0231.pdf"
	@echo "The demo shop, for a browser on this machine; Ctrl-C ends it:"
	target/release/hingeline serve --demo --folder out/demo-shop

# Every test of every crate, the published checks and the pages in a real browser among them. Cargo fetches what they
# need; scripts/prepare installs the browser where it is missing. A browser on a busy machine may answer too late: where
# the pages fail, they are tried once more, one after another. Every line is of the whole workspace, so that all of them
# share what is built, the program included.
test:
	scripts/prepare
	cargo test --workspace --locked --lib --bins --test '[!b]*'
	cargo test --workspace --locked --doc
	cargo test --workspace --locked --test browser || cargo test --workspace --locked --test browser -- --test-threads=1

# What must be clean before a change goes in.
lint:
	cargo fmt --all --check
	cargo clippy --workspace --all-targets --locked -- -D warnings
	RUSTDOCFLAGS="-D warnings" cargo doc --workspace --no-deps --locked

# The proof by simulation, 100,000 benches a row: writes docs/coverage.md.
coverage:
	cargo run --release -p hingeline-checks --example coverage -- 100000 docs/coverage.md

# The pictures of the guide: writes docs/pictures/.
pictures:
	cargo run -p hingeline-sheet --example pictures -- docs/pictures

# Every page at the width of a phone, a tablet and a desktop, light and dark: writes out/screenshots/.
screenshots:
	scripts/prepare
	cargo build -p hingeline-cli
	cargo run -p hingeline-browser-tests --example screenshots -- out/screenshots

# Speed and memory, with medians; see docs/benchmarks.md.
bench:
	cargo build --release -p hingeline-cli
	python3 benches/whole_program.py target/release/hingeline
