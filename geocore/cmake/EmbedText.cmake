# Text files compiled into a library, so that one program file carries its tables.
#
# nestround_embed(TARGET NAME FILES file...)
#
# Adds a source to nestround_TARGET that defines
#     std::span<const nestround::TextFile> nestround::embedded::NAME()
# with the files in the given order; see geocore/base/text_file.hpp. Every .csv but the sources
# list is a table of figures: a row that does not end in a source and a mark stops the build.

if(CMAKE_SCRIPT_MODE_FILE)
    # Run at build time: cmake -DNAME=... -DFILES=a|b -DOUTPUT=... -P EmbedText.cmake
    string(REPLACE "|" ";" FILES "${FILES}")
    set(marks "published|secondhand|derived|memory|practice|assumption")
    set(body "")
    set(list "")
    set(number 0)
    foreach(file IN LISTS FILES)
        get_filename_component(stem "${file}" NAME)
        file(READ "${file}" content)
        if(stem MATCHES "\\.csv$" AND NOT stem STREQUAL "sources.csv")
            # Keep semicolons and brackets from being read as CMake lists.
            string(REGEX REPLACE "[][;]" "_" lines "${content}")
            string(REPLACE "\n" ";" lines "${lines}")
            set(row 0)
            foreach(line IN LISTS lines)
                math(EXPR row "${row} + 1")
                if(row EQUAL 1 OR line STREQUAL "" OR line MATCHES "^#")
                    continue()
                endif()
                if(NOT line MATCHES ",[A-Za-z0-9 ]*[A-Za-z0-9],(${marks})$")
                    message(FATAL_ERROR
                        "${file}:${row}: a figure needs a source and a mark (${marks}): ${line}")
                endif()
            endforeach()
        endif()
        string(APPEND body
            "constexpr std::string_view kText${number} = R\"~table~(${content})~table~\";\n")
        string(APPEND list "    nestround::TextFile{\"${stem}\", kText${number}},\n")
        math(EXPR number "${number} + 1")
    endforeach()
    file(WRITE "${OUTPUT}" "// Made by geocore/cmake/EmbedText.cmake; do not edit.
#include <array>

#include \"geocore/base/text_file.hpp\"

namespace {
${body}
constexpr std::array<nestround::TextFile, ${number}> kFiles{{
${list}}};
}  // namespace

namespace nestround::embedded {
std::span<const TextFile> ${NAME}();
std::span<const TextFile> ${NAME}() { return kFiles; }
}  // namespace nestround::embedded
")
    return()
endif()

set(NESTROUND_EMBED_SCRIPT "${CMAKE_CURRENT_LIST_FILE}")

function(nestround_embed target name)
    cmake_parse_arguments(PARSE_ARGV 2 arg "" "" "FILES")
    set(paths)
    foreach(file IN LISTS arg_FILES)
        list(APPEND paths "${CMAKE_CURRENT_SOURCE_DIR}/${file}")
    endforeach()
    string(REPLACE ";" "|" joined "${paths}")
    set(output "${CMAKE_CURRENT_BINARY_DIR}/embedded/${name}.cpp")
    add_custom_command(OUTPUT "${output}"
        COMMAND ${CMAKE_COMMAND} -DNAME=${name} "-DFILES=${joined}" "-DOUTPUT=${output}"
                -P "${NESTROUND_EMBED_SCRIPT}"
        DEPENDS ${paths} "${NESTROUND_EMBED_SCRIPT}"
        COMMENT "Compiling in ${name}"
        VERBATIM)
    target_sources(nestround_${target} PRIVATE "${output}")
endfunction()
