# What every target of the project has in common.

set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)
# Dev: fast enough for the suite, with assertions.
set(CMAKE_CXX_FLAGS_DEV "-O1 -g1")
if(NOT CMAKE_BUILD_TYPE)
    set(CMAKE_BUILD_TYPE Release CACHE STRING "" FORCE)
endif()

add_library(nestround_build_options INTERFACE)
target_include_directories(nestround_build_options INTERFACE ${CMAKE_SOURCE_DIR})
target_compile_options(nestround_build_options INTERFACE
    -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wno-sign-conversion -Wnon-virtual-dtor
    -Woverloaded-virtual -Wimplicit-fallthrough
    # no fused multiply-add: the same numbers on every machine
    -ffp-contract=off
    $<$<BOOL:${NESTROUND_WERROR}>:-Werror>)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
    # From -O2 on GCC 12 sees ghosts in its own <string> and <optional> (its bug 105651 is one).
    # Warnings are for the preset dev, which makes errors of them and optimises less.
    target_compile_options(nestround_build_options INTERFACE
        $<$<CONFIG:Release>:-Wno-restrict -Wno-maybe-uninitialized -Wno-array-bounds>)
endif()
if(NESTROUND_SANITIZE)
    target_compile_options(nestround_build_options INTERFACE
        -fsanitize=address,undefined -fno-sanitize-recover=undefined -fno-omit-frame-pointer
        # GCC 12 sees ghosts in its own <regex> once the sanitizers' code is in it
        -Wno-maybe-uninitialized)
    target_link_options(nestround_build_options INTERFACE -fsanitize=address,undefined)
endif()

# nestround_library(NAME [ROOMS folder...] [PUBLIC ...] [PRIVATE ...])
#
# A static library of every .cpp in the given rooms (folders below the caller); no list of files is
# kept by hand. Makes nestround_NAME and its alias nestround::NAME.
function(nestround_library name)
    cmake_parse_arguments(PARSE_ARGV 1 arg "" "" "ROOMS;PUBLIC;PRIVATE")
    set(sources)
    foreach(room IN LISTS arg_ROOMS)
        file(GLOB_RECURSE found CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/${room}/*.cpp)
        list(APPEND sources ${found})
    endforeach()
    if(NOT sources)
        # A room without sources yet still has to link.
        file(WRITE ${CMAKE_CURRENT_BINARY_DIR}/${name}_empty.cpp "")
        list(APPEND sources ${CMAKE_CURRENT_BINARY_DIR}/${name}_empty.cpp)
    endif()
    set(target nestround_${name})
    add_library(${target} STATIC ${sources})
    set_target_properties(${target} PROPERTIES LINKER_LANGUAGE CXX)
    add_library(nestround::${name} ALIAS ${target})
    target_link_libraries(${target}
        PUBLIC nestround_build_options ${arg_PUBLIC} PRIVATE ${arg_PRIVATE})
endfunction()
