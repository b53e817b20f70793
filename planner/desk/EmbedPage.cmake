# The desk's page into one source file.
#
# Included by planner/CMakeLists.txt it offers nestround_embed_page(TARGET FOLDER); run as a script
# it builds the page with npm in a folder of the build tree and writes the source:
#
#   cmake -DWEB=... -DWORK=... -DOUTPUT=... -DPLAIN=... -DNPM=npm|"" -P EmbedPage.cmake
#
# `npm ci` runs when the locked list of packages changed, the page's own build when one of its files
# did. Where the packages cannot be fetched the plain page is compiled in, with a warning; a page
# that does not compile stops the build.

if(CMAKE_SCRIPT_MODE_FILE)
    function(note_type file variable)
        set(type "application/octet-stream")
        if(file MATCHES "\\.html$")
            set(type "text/html; charset=utf-8")
        elseif(file MATCHES "\\.m?js$")
            set(type "text/javascript; charset=utf-8")
        elseif(file MATCHES "\\.css$")
            set(type "text/css; charset=utf-8")
        elseif(file MATCHES "\\.svg$")
            set(type "image/svg+xml")
        elseif(file MATCHES "\\.png$")
            set(type "image/png")
        elseif(file MATCHES "\\.webmanifest$")
            set(type "application/manifest+json")
        elseif(file MATCHES "\\.json$")
            set(type "application/json")
        elseif(file MATCHES "\\.woff2$")
            set(type "font/woff2")
        endif()
        set(${variable} "${type}" PARENT_SCOPE)
    endfunction()

    set(dist "${WORK}/plain")
    if(NPM)
        file(GLOB_RECURSE files RELATIVE "${WEB}" "${WEB}/src/*" "${WEB}/public/*" "${WEB}/scripts/*"
            "${WEB}/*.json" "${WEB}/*.ts" "${WEB}/*.html")
        list(FILTER files EXCLUDE REGEX "^(node_modules|dist|mock|test|\\.tests)/")
        file(MAKE_DIRECTORY "${WORK}/web")
        # A file that is gone must not linger in the copy.
        file(REMOVE_RECURSE "${WORK}/web/src" "${WORK}/web/public" "${WORK}/web/scripts")
        foreach(file IN LISTS files)
            get_filename_component(folder "${WORK}/web/${file}" DIRECTORY)
            file(COPY "${WEB}/${file}" DESTINATION "${folder}")
        endforeach()
        file(SHA256 "${WEB}/package-lock.json" lock)
        set(locked "")
        if(EXISTS "${WORK}/locked")
            file(READ "${WORK}/locked" locked)
        endif()
        set(ready TRUE)
        if(NOT locked STREQUAL lock OR NOT EXISTS "${WORK}/web/node_modules")
            execute_process(COMMAND "${NPM}" ci --no-audit --no-fund --prefer-offline
                    --fetch-retries=1 --loglevel=error
                WORKING_DIRECTORY "${WORK}/web" RESULT_VARIABLE failed OUTPUT_QUIET)
            if(failed)
                set(ready FALSE)
                message(WARNING "npm cannot fetch the page's packages: the desk's page is left out")
            else()
                file(WRITE "${WORK}/locked" "${lock}")
            endif()
        endif()
        if(ready)
            execute_process(COMMAND "${NPM}" run --silent build
                WORKING_DIRECTORY "${WORK}/web" RESULT_VARIABLE failed OUTPUT_VARIABLE said
                ERROR_VARIABLE said)
            if(failed)
                message(FATAL_ERROR "the desk's page does not build:\n${said}")
            endif()
            set(dist "${WORK}/web/dist")
        endif()
    endif()
    if(dist STREQUAL "${WORK}/plain")
        file(REMOVE_RECURSE "${dist}")
        file(MAKE_DIRECTORY "${dist}")
        configure_file("${PLAIN}" "${dist}/index.html" COPYONLY)
    endif()

    file(GLOB_RECURSE names RELATIVE "${dist}" "${dist}/*")
    list(FILTER names EXCLUDE REGEX "\\.map$")
    list(SORT names)
    file(REMOVE_RECURSE "${WORK}/packed")
    set(data "")
    set(rows "")
    set(number 0)
    foreach(name IN LISTS names)
        note_type("${name}" type)
        file(SHA256 "${dist}/${name}" hash)
        set(held "${dist}/${name}")
        set(packed false)
        if(NOT name STREQUAL "index.html" AND NOT name MATCHES "\\.(png|woff2)$")
            set(held "${WORK}/packed/${name}.gz")
            get_filename_component(folder "${held}" DIRECTORY)
            file(MAKE_DIRECTORY "${folder}")
            execute_process(COMMAND gzip -9 -n -c "${dist}/${name}" OUTPUT_FILE "${held}"
                RESULT_VARIABLE failed)
            if(failed)
                message(FATAL_ERROR "gzip failed on ${name}")
            endif()
            set(packed true)
        endif()
        set(for_ever false)
        if(name MATCHES "^assets/.*-[A-Za-z0-9_-]+\\.[a-z0-9]+$")
            set(for_ever true)
        endif()
        string(APPEND data "asm(\".pushsection .rodata\\n\"
    \"nestround_page_${number}:\\n.incbin \\\"${held}\\\"\\n\"
    \"nestround_page_${number}_end:\\n.byte 0\\n.popsection\\n\");
extern \"C\" const char nestround_page_${number}[];
extern \"C\" const char nestround_page_${number}_end[];
")
        string(APPEND rows "    Asset{\"/${name}\", \"${type}\", \"${hash}\",
          {nestround_page_${number}, nestround_page_${number}_end}, ${packed}, ${for_ever}},\n")
        math(EXPR number "${number} + 1")
    endforeach()
    file(WRITE "${OUTPUT}" "// Made by planner/desk/EmbedPage.cmake; do not edit.
#include <array>

#include \"planner/desk/assets.hpp\"

${data}
namespace nestround::desk {

std::span<const Asset> page_assets()
{
    static const std::array<Asset, ${number}> kFiles{{
${rows}    }};
    return kFiles;
}

}  // namespace nestround::desk
")
    if(LOOK)  # for the test
        file(READ "${dist}/index.html" page)
        message(STATUS "page of ${number} file: ${page}")
    endif()
    return()
endif()

set(NESTROUND_EMBED_PAGE_SCRIPT "${CMAKE_CURRENT_LIST_FILE}")

function(nestround_embed_page target folder)
    set(npm "")
    set(depends "")
    if(NESTROUND_DESK_PAGE)
        find_program(NESTROUND_NPM npm)
        if(NESTROUND_NPM)
            set(npm "${NESTROUND_NPM}")
            file(GLOB_RECURSE depends CONFIGURE_DEPENDS "${folder}/src/*" "${folder}/public/*"
                "${folder}/scripts/*")
            file(GLOB more CONFIGURE_DEPENDS "${folder}/*.json" "${folder}/*.ts" "${folder}/*.html")
            list(APPEND depends ${more})
        else()
            message(WARNING "npm is missing: the desk's page is left out (see .ci/packages)")
        endif()
    endif()
    set(work "${CMAKE_CURRENT_BINARY_DIR}/desk_page")
    set(output "${work}/page_assets.cpp")
    file(MAKE_DIRECTORY "${work}")
    # The choice itself is something the source depends on.
    file(CONFIGURE OUTPUT "${work}/choice" CONTENT "${npm}\n" @ONLY)
    add_custom_command(OUTPUT "${output}"
        COMMAND ${CMAKE_COMMAND} "-DWEB=${folder}" "-DWORK=${work}" "-DOUTPUT=${output}"
                "-DPLAIN=${CMAKE_CURRENT_SOURCE_DIR}/desk/plain.html" "-DNPM=${npm}"
                -P "${NESTROUND_EMBED_PAGE_SCRIPT}"
        DEPENDS ${depends} "${work}/choice" "${CMAKE_CURRENT_SOURCE_DIR}/desk/plain.html"
                "${NESTROUND_EMBED_PAGE_SCRIPT}"
        COMMENT "The desk's page"
        VERBATIM)
    target_sources(${target} PRIVATE "${output}")
endfunction()
