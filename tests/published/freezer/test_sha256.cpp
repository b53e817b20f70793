// SHA-256 against the examples of the standard and NIST's test vectors.
#include "geocore/base/sha256.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;

TEST_CASE("Published, Sha256OfTheStandardsExamples")
{
    // FIPS PUB 180-2 (2002), appendix B.1 to B.3; the same in NIST's example page for FIPS 180-4.
    CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(sha256(std::string(1000000, 'a')) ==
          "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("Published, Sha256OfNistsShortMessages")
{
    // NIST CAVP, SHA256ShortMsg.rsp: messages of 0, 8 and 16 bits.
    CHECK(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256("\xd3") == "28969cdfa74a12c82f3bad960b0b000aca2ac329deea5c2328ebc6f2ba9802c1");
    CHECK(sha256("\x11\xaf") == "5ca7133fa735326081558ac312c620eeca9970d1e70a4b95533d956f072d1f98");
}
