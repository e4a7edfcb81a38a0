//! A part of the owner's own kind goes through every verb as any other does.

use crate::run::{answered, file, vessel};

const PART: &str = "cold-store-condenser";

#[test]
fn every_verb_knows_a_part_of_the_owners_own_kind() {
    let glasswort = vessel("glasswort");
    let words = answered(&["words", &glasswort, PART]);
    assert!(words.contains("compressor runs without end") && words.contains("end_cap"), "{words}");
    let expected = answered(&["expect", &glasswort, "--at", "speed=2000rpm", "--at", "sea=15C"]);
    assert!(expected.contains("coolant-flybridge") && expected.contains("raw-out"), "{expected}");
    let followed = answered(&["follow", &glasswort, "strainer"]);
    assert!(followed.contains("takes the heat of the cold store in"), "{followed}");
    let isolated = answered(&["isolate", &glasswort, PART]);
    assert!(isolated.contains("seacock"), "{isolated}");
    let drawing = answered(&["draw", &glasswort]);
    assert!(drawing.contains("<svg") && drawing.contains(PART), "no {PART} in the drawing");
    let evidence = file(
        "own-kind-evidence.toml",
        "[[occasion]]\nat = { speed = \"2000 rpm\", sea = \"15 C\" }\nsaid = [\"cold-store-condenser.compressor runs without end\"]\n\
         readings = { raw-pressure = \"1.1 bar\", coolant = \"96 C\", raw-out = \"40 C\" }\n[[check]]\npart = \"cold-store-condenser\"\ncheck = \"end-cap\"\nfound = \"scaled\"\n",
    );
    let explained = answered(&["explain", &glasswort, &evidence]);
    assert!(explained.contains("Condenser of the cold store scaled up"), "{explained}");
    assert!(explained.contains("descale the condenser"), "{explained}");
}
