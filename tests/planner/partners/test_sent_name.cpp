// Names as collections, counties and phones spell them.
#include "planner/partners/sent_name.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using partners::NameTells;
using partners::read_name;

namespace {

partners::SentName read(std::string_view words)
{
    return read_name(nature::standard_taxa(), words);
}

}  // namespace

TEST_CASE("SentName, ATaxonIsKnownWithAuthorSubgenusAndYear")
{
    for (const auto* words :
         {"VMAC", "Vespula maculifrons", "vespula  MACULIFRONS", "eastern yellowjacket",
          "Vespula maculifrons (du Buysson, 1905)", "Vespula (Paravespula) maculifrons",
          "Vespula maculifrons du Buysson", "Vespula\tmaculifrons\n(Buysson 1905)"}) {
        CAPTURE(words);
        CHECK(read(words).tells == NameTells::Species);
        CHECK(read(words).code == "VMAC");
        CHECK(read(words).note.empty());
    }
}

TEST_CASE("SentName, OlderGeneraAndEndingsAreUnderstoodAndSaid")
{
    CHECK(read("Vespula arenaria (Fabricius, 1775)").code == "DARE");
    CHECK(read("Vespula arenaria").note.find("Dolichovespula arenaria") != std::string::npos);
    CHECK(read("Vespa maculata Linnaeus, 1763").code == "DMAC");
    CHECK(read("Paravespula germanica").code == "VGER");
    CHECK(read("Polistes dominulus Christ, 1791").code == "PDOM");
    CHECK(read("Vespa crabro germana Christ").code == "VCRA");
    CHECK(read("Vespa crabro germana Christ").note.find("germana") != std::string::npos);
    // A paper wasp is in no genus of vespines, whatever its second word.
    CHECK(read("Polistes germanica").tells == NameTells::Genus);
}

TEST_CASE("SentName, DoubtAndWantOfSpeciesGiveTheGenus")
{
    for (const auto* words : {"Vespula", "Vespula sp.", "Vespula cf. germanica", "Vespula spp.",
                              "Vespula Thomson, 1869", "Vespula germannica"}) {
        CAPTURE(words);
        CHECK(read(words).tells == NameTells::Genus);
        CHECK(read(words).genus == "Vespula");
        CHECK(read(words).code.empty());
    }
    CHECK_FALSE(read("Vespula cf. germanica").note.empty());
    CHECK_FALSE(read("Vespula germannica").note.empty());
}

TEST_CASE("SentName, WideNamesTellNothingAndForeignOnesAreForeign")
{
    for (const auto* words :
         {"", "  ", "unknown", "Vespidae", "Vespidae Latreille, 1802", "wasp"}) {
        CAPTURE(words);
        CHECK(read(words).tells == NameTells::Nothing);
    }
    for (const auto* words : {"Apis mellifera", "'; DROP TABLE nest; --", "../../etc/passwd"}) {
        CAPTURE(words);
        CHECK(read(words).tells == NameTells::Foreign);
    }
    CHECK(read(std::string(5000, 'x')).tells == NameTells::Foreign);
    CHECK(read(std::string(5000, 'x')).note.size() < 100);
}

TEST_CASE("SentName, EveryTaxonOfTheTableReadsAsItself")
{
    for (const auto& taxon : nature::standard_taxa().taxa()) {
        CHECK(read(taxon.name).code == taxon.code);
        CHECK(read(taxon.name + " (Author, 1900)").code == taxon.code);
        CHECK(read(taxon.name + " Author").note.empty());
    }
}
