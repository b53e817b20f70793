/// \file catch.hpp
/// \brief The one place that names Catch2's header, so that its next version is one change.
#pragma once

#include <catch2/catch.hpp>
