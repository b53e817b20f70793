/// \file failing.hpp
/// \brief The error of a call that must throw a Failure.
#pragma once

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"

namespace nestround::tests {

template <class Call>
Error failure_of(Call call)
{
    try {
        (void)call();
    } catch (const Failure& failure) {
        CHECK(failure.error().text().find('\n') == std::string::npos);
        return failure.error();
    }
    FAIL("no Failure was thrown");
    return {};
}

}  // namespace nestround::tests
