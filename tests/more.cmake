# The grammar of quantities: its EBNF, counted by a parser of its own, and its units, by GNU units.
add_executable(quantity_driver ${CMAKE_CURRENT_SOURCE_DIR}/grammar/quantity_driver.c)
target_link_libraries(quantity_driver PRIVATE compiler)
add_test(NAME external/grammar_derivations
         COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/grammar_derivations.py
                 ${CMAKE_SOURCE_DIR}/docs/quantities.ebnf ${CMAKE_CURRENT_SOURCE_DIR}/grammar/accepted.txt
                 ${CMAKE_CURRENT_SOURCE_DIR}/grammar/refused.txt $<TARGET_FILE:quantity_driver> 12000)
add_test(NAME external/units_check COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/units_check.py
                                           $<TARGET_FILE:quantity_driver>)

# Fuzz targets, with clang: cmake -DCMAKE_C_COMPILER=clang -DFUZZ=ON -DSANITIZE=ON; build/tests/NAME [a folder].
option(FUZZ "Fuzz targets" OFF)
if(FUZZ)
  target_compile_options(strict INTERFACE -fsanitize=fuzzer-no-link)
  file(GLOB FUZZ_SOURCES CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/fuzz/*_fuzz.c)
  foreach(source ${FUZZ_SOURCES})
    get_filename_component(name ${source} NAME_WE)
    add_executable(${name} ${source})
    target_link_libraries(${name} PRIVATE compiler)
    target_link_options(${name} PRIVATE -fsanitize=fuzzer)
  endforeach()
endif()

# Benchmarks: programs that print, no tests.
add_executable(camera_again_bench ${CMAKE_CURRENT_SOURCE_DIR}/bench/camera_again_bench.c)
target_link_libraries(camera_again_bench PRIVATE runtime)

# The demo book's drawings are where its specs say.
if(TARGET groundrow)
  add_test(NAME external/drawings_agree COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/drawings_agree.py
                                                $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)
endif()

# The samples of docs/report.md and docs/walkthrough.md are what the program writes.
if(TARGET groundrow)
  add_test(NAME docs/report_samples COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/report_doc.py
                                            $<TARGET_FILE:groundrow>)
endif()
# The JSON Schema of the language, by validators from npm (tests/run.sh installs them).
add_test(NAME external/schema COMMAND node ${CMAKE_CURRENT_SOURCE_DIR}/external/schema/check.mjs
                                      $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)

# The demo book's reports are under version control.
if(TARGET groundrow)
  add_test(NAME reports_as_committed COMMAND sh ${CMAKE_CURRENT_SOURCE_DIR}/reports_as_committed.sh $<TARGET_FILE:groundrow>)
endif()

add_executable(book_bench ${CMAKE_CURRENT_SOURCE_DIR}/bench/book_bench.c)
target_link_libraries(book_bench PRIVATE compiler)
add_executable(see_bench ${CMAKE_CURRENT_SOURCE_DIR}/bench/see_bench.c)
target_link_libraries(see_bench PRIVATE compiler)

# Models of the demo book, and of one with what that has not, held to others (tests/run.sh installs what comes from npm).
if(TARGET groundrow)
  pkg_check_modules(ASSIMP REQUIRED IMPORTED_TARGET assimp)
  set(GLTF ${CMAKE_CURRENT_SOURCE_DIR}/external/gltf)
  set(MODELS ${CMAKE_CURRENT_BINARY_DIR}/models)
  add_executable(assimp_check ${GLTF}/assimp_check.c)
  target_link_libraries(assimp_check PRIVATE PkgConfig::ASSIMP PkgConfig::JANSSON strict m)
  add_test(NAME external/models_of_demo COMMAND groundrow ${CMAKE_SOURCE_DIR}/specs -o ${MODELS}/demo --json -q)
  add_test(NAME external/models_of_shapes COMMAND groundrow ${GLTF}/book -o ${MODELS}/shapes --json -q)
  set_tests_properties(external/models_of_demo external/models_of_shapes PROPERTIES FIXTURES_SETUP models)
  add_test(NAME external/models_valid COMMAND node ${GLTF}/validate.mjs ${MODELS}/demo ${MODELS}/shapes)
  add_test(NAME external/models_by_three COMMAND node ${GLTF}/project.mjs ${MODELS}/demo ${MODELS}/shapes)
  add_test(NAME external/models_by_opencv
           COMMAND /usr/bin/python3 ${GLTF}/project_opencv.py ${MODELS}/demo ${MODELS}/shapes)
  add_test(NAME external/other_bodies_by_opencv
           COMMAND /usr/bin/python3 ${GLTF}/also_opencv.py ${MODELS}/demo ${MODELS}/shapes)
  add_test(NAME external/models_by_assimp COMMAND sh -c "exec \"$0\" \"$1\"/demo/*.glb \"$1\"/shapes/*.glb"
                                                  $<TARGET_FILE:assimp_check> ${MODELS})
  add_test(NAME external/models_cards COMMAND /usr/bin/python3 ${GLTF}/cards.py ${MODELS}/demo ${MODELS}/shapes)
  add_test(NAME external/seen_by_three COMMAND node ${CMAKE_CURRENT_SOURCE_DIR}/external/browser/seen_by_three.mjs
                                               ${GLTF}/node_modules/three ${MODELS}/demo ${MODELS}/shapes)
  set_tests_properties(external/seen_by_three PROPERTIES TIMEOUT 600)
  add_test(NAME external/pictures_marks
           COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/pictures_marks.py ${MODELS}/demo ${MODELS}/shapes)
  set_tests_properties(external/pictures_marks external/seen_by_three external/models_valid external/models_cards external/models_by_three external/models_by_opencv external/other_bodies_by_opencv
                       external/models_by_assimp PROPERTIES FIXTURES_REQUIRED models)
endif()

# The pages of the language: the list of words is the program's, and the page that tells of them tells of all.
add_test(NAME docs/words COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/words_doc.py $<TARGET_FILE:groundrow>)

# The shop sheets by poppler and by their own drawing commands, on all four papers.
if(TARGET groundrow)
  add_test(NAME external/sheets COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/sheets_check.py
                                        $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)
  add_test(NAME external/book COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/book_check.py
                                      $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)
  set_tests_properties(external/sheets external/book PROPERTIES TIMEOUT 1200)
endif()

# Images, by OpenCV and by files that are written from known pixels.
add_executable(pixels_driver ${CMAKE_CURRENT_SOURCE_DIR}/external/pixels_driver.c)
target_link_libraries(pixels_driver PRIVATE runtime)
add_test(NAME external/pixels COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/pixels_check.py
                                      $<TARGET_FILE:pixels_driver> ${CMAKE_SOURCE_DIR}/specs/drawings)
add_executable(picture_bench ${CMAKE_CURRENT_SOURCE_DIR}/bench/picture_bench.c)
target_link_libraries(picture_bench PRIVATE compiler)

# Photographs' cameras as OpenCV finds them.
add_executable(resect_driver ${CMAKE_CURRENT_SOURCE_DIR}/external/resect_driver.c)
target_link_libraries(resect_driver PRIVATE runtime)
add_test(NAME external/resect_opencv COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/resect_opencv.py
                                             $<TARGET_FILE:resect_driver>)

# The book's page in a browser: of the demo book, and of one whose names are awkward.
if(TARGET groundrow)
  set(PAGE ${CMAKE_CURRENT_SOURCE_DIR}/external/page)
  set(PAGES ${CMAKE_CURRENT_BINARY_DIR}/pages)
  add_test(NAME external/page_of_demo COMMAND groundrow ${CMAKE_SOURCE_DIR}/specs -o ${PAGES}/demo --json --patterns=backdrop --prune -q)
  add_test(NAME external/page_of_names COMMAND groundrow ${PAGE}/book -o ${PAGES}/names --prune -q)
  set_tests_properties(external/page_of_demo external/page_of_names PROPERTIES FIXTURES_SETUP pages)
  add_test(NAME external/page_in_chromium COMMAND node ${PAGE}/page_in_chromium.mjs ${PAGES}/demo ${PAGES}/names)
  set_tests_properties(external/page_in_chromium PROPERTIES FIXTURES_REQUIRED pages TIMEOUT 900)
endif()

# The squared-up drawing's lines against OpenCV's projection.
if(TARGET groundrow)
  add_test(NAME external/squared COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/squared_check.py
                                         $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)
endif()

# Full-size patterns are full size, as poppler reads them.
if(TARGET groundrow)
  add_test(NAME external/patterns COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/patterns_check.py
                                          $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)
endif()

# Nests of parts, held to a checker that knows only where the parts lie, and to published instances.
add_executable(nest_driver ${CMAKE_CURRENT_SOURCE_DIR}/external/nest_driver.c)
target_link_libraries(nest_driver PRIVATE runtime)
set(NEST_LISTS 2000)
set(AGAIN_BOOKS 800)
set(NEST_EFFORT 0.1)
if(SANITIZE)
  set(NEST_LISTS 200)
  set(AGAIN_BOOKS 80)
  set(NEST_EFFORT 0.02)
endif()
add_test(NAME external/nest_check COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/nest_check.py
                                          $<TARGET_FILE:nest_driver> ${NEST_LISTS})
add_test(NAME external/nest_published COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/nest_published.py
                                              $<TARGET_FILE:nest_driver> ${NEST_EFFORT})
add_executable(again_driver ${CMAKE_CURRENT_SOURCE_DIR}/external/again_driver.c)
target_link_libraries(again_driver PRIVATE runtime)
add_test(NAME external/again_check COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/again_check.py
                                           $<TARGET_FILE:again_driver> ${AGAIN_BOOKS})
add_executable(nest_bench ${CMAKE_CURRENT_SOURCE_DIR}/bench/nest_bench.c)
target_link_libraries(nest_bench PRIVATE runtime)

# The demo book's cut lists add up.
if(TARGET groundrow)
  add_test(NAME external/parts_check COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/parts_check.py
                                             $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)
endif()

# The demo book's holes are where they are told to be, and over what, with its own tables and with others.
if(TARGET groundrow)
  add_test(NAME external/holes_check COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/holes_check.py
                                             $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)
endif()

# What allowances cost is what their specs say without them.
if(TARGET groundrow)
  add_test(NAME external/costs_check COMMAND /usr/bin/python3 ${CMAKE_CURRENT_SOURCE_DIR}/external/costs_check.py
                                             $<TARGET_FILE:groundrow> ${CMAKE_SOURCE_DIR}/specs)
endif()
